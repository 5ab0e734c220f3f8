// Runs the rider's board in a terminal until it is left; called by the cli.
import type { SessionUs } from "../../domain/time.ts";
import { createChangeNews } from "../change-news.ts";
import type { Feed } from "../feed.ts";
import type { ThemeName } from "../present/theme.ts";
import { openScreen, type Terminal } from "../run-screen.tsx";
import { Board } from "./board.tsx";
import type { BoardShot } from "./board-lines.ts";

export interface BoardOptions {
  readonly terminal: Terminal;
  readonly feed: Feed;
  /** Session time now. */
  readonly now: () => SessionUs;
  readonly theme: ThemeName;
  readonly isAscii: boolean;
  readonly isBlind: boolean;
}

/** The clock and the alerts move on by themselves, no faster than this. */
const TICK_MS = 1000;

/** Resolves once somebody has pressed q and the terminal is as it was. */
export function runBoard(options: BoardOptions): Promise<void> {
  const { feed, isBlind } = options;
  const listeners = new Set<() => void>();
  const newsOf = createChangeNews();
  const look = (): BoardShot => {
    const summary = feed.summary();
    const now = options.now();
    return { summary, now, isBlind, news: newsOf(summary, now) };
  };
  let shot = look();
  const refresh = (): void => {
    shot = look();
    for (const listener of [...listeners]) listener();
  };
  return new Promise((resolve) => {
    const unfollow = feed.subscribe(refresh);
    const ticker = setInterval(refresh, TICK_MS);
    const open = openScreen(
      options.terminal,
      options.theme,
      (screen) => (
        <Board
          subscribe={(listener) => {
            listeners.add(listener);
            return () => {
              listeners.delete(listener);
            };
          }}
          snapshot={() => shot}
          theme={options.theme}
          isAscii={options.isAscii}
          size={screen.size}
          subscribeSize={screen.subscribeSize}
        />
      ),
      (key) => {
        const isQuit = key.type === "named" ? key.name === "ctrl-c" : /^q$/iu.test(key.text);
        if (!isQuit) return;
        unfollow();
        clearInterval(ticker);
        open.close();
        resolve();
      },
    );
  });
}
