// The open file as a feed for the screens.
import type { SessionFile } from "../app/session-file.ts";
import { createFeed, type LiveFeed } from "../tui/feed.ts";

export function feedOf(file: SessionFile): { readonly feed: LiveFeed; readonly stop: () => void } {
  const feed = createFeed(file.summary());
  const stop = file.subscribe(() => {
    feed.publish(file.summary());
  });
  return { feed, stop };
}
