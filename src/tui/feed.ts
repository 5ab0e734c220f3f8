// How the screens hear of a new Summary: the program publishes, the screens follow at frame rate.
import type { Summary } from "../summary/summary.ts";

/** What the screens draw, in the shape that React's `useSyncExternalStore` wants. */
export interface Feed {
  /** The newest summary; the same object until there is a newer one. */
  summary(): Summary;
  /** Calls back once there is a newer one; the answer ends it. */
  subscribe(listener: () => void): () => void;
}

/** The publishing end of a feed. */
export interface LiveFeed extends Feed {
  /** Takes a newer summary. Listeners hear of the first at once, of others once a frame. */
  publish(summary: Summary): void;
  /** Tells the listeners now of whatever they have not heard of. */
  flush(): void;
}

/** chosen: thirty frames a second, quicker than anybody reads, slower than anything is drawn. */
const FRAME_MS = 33;

/** A feed that starts with this summary. */
export function createFeed(first: Summary): LiveFeed {
  const listeners = new Set<() => void>();
  let current = first;
  let isUntold = false;
  let timer: NodeJS.Timeout | undefined;

  const tell = (): void => {
    isUntold = false;
    for (const listener of [...listeners]) listener();
  };
  const frameEnded = (): void => {
    timer = undefined;
    if (!isUntold) return;
    startFrame();
    tell();
  };
  const startFrame = (): void => {
    timer = setTimeout(frameEnded, FRAME_MS);
    timer.unref(); // a frame still open keeps no program alive
  };
  return {
    summary: () => current,
    subscribe(listener) {
      listeners.add(listener);
      return () => {
        listeners.delete(listener);
      };
    },
    publish(summary) {
      if (summary === current) return;
      current = summary;
      isUntold = true;
      if (timer !== undefined) return;
      startFrame();
      tell();
    },
    flush() {
      if (isUntold) tell();
    },
  };
}
