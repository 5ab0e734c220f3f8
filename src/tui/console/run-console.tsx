// Runs the operator's console in a terminal until it is left; called by the cli.
import type { SessionUs } from "../../domain/time.ts";
import type { Feed } from "../feed.ts";
import type { ThemeName } from "../present/theme.ts";
import { openScreen, type Terminal } from "../run-screen.tsx";
import type { ConsoleActs } from "./acts.ts";
import { Console } from "./console.tsx";
import type { ConsoleStatus } from "./console-status.ts";
import { createController } from "./controller.ts";

export interface ConsoleOptions {
  readonly terminal: Terminal;
  readonly feed: Feed;
  readonly acts: ConsoleActs;
  /** Session time now. */
  readonly now: () => SessionUs;
  /** Asked for at each tick and each change. */
  readonly status: () => ConsoleStatus;
  readonly theme: ThemeName;
  readonly isAscii: boolean;
}

/** Nothing on the screen changes faster than this by itself. */
const TICK_MS = 1000;

/** Resolves once the operator has left the console and the terminal is as it was. */
export function runConsole(options: ConsoleOptions): Promise<void> {
  return new Promise((resolve) => {
    let isLeaving = false;
    let shown = options.theme;
    const controller = createController({
      feed: options.feed,
      acts: options.acts,
      now: options.now,
      status: options.status,
      theme: options.theme,
      quit: () => {
        isLeaving = true;
      },
      ring: () => {
        open.screen.bell();
      },
    });
    const open = openScreen(
      options.terminal,
      options.theme,
      (screen) => (
        <Console
          controller={controller}
          isAscii={options.isAscii}
          size={screen.size}
          subscribeSize={screen.subscribeSize}
        />
      ),
      (key, atMs) => {
        controller.press(key, atMs);
        const { theme } = controller.snapshot().state;
        if (theme !== shown) {
          shown = theme;
          open.setTheme(theme);
        }
        if (isLeaving) leave();
      },
    );
    const ticker = setInterval(controller.tick, TICK_MS);
    const leave = (): void => {
      clearInterval(ticker);
      controller.end();
      open.close();
      resolve();
    };
  });
}
