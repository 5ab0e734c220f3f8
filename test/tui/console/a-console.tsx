// A console in an emulated terminal, its acts recorded, its clock set by the test.
import { render } from "ink";
import { Console } from "../../../src/tui/console/console.tsx";
import type { ConsoleStatus } from "../../../src/tui/console/console-status.ts";
import { type Controller, createController } from "../../../src/tui/console/controller.ts";
import { createFeed, type LiveFeed } from "../../../src/tui/feed.ts";
import { createKeyStream } from "../../../src/tui/keys/key-stream.ts";
import { asInkOutput, Screen } from "../../../src/tui/screen/screen.ts";
import type { JournalWriter } from "../../session/a-journal.ts";
import { instant, summaryOf } from "../a-day.ts";
import { recordActs } from "../recorded-acts.ts";
import { EmulatedTerminal } from "../screen/emulator.ts";

export interface Given {
  readonly journal: JournalWriter;
  /** Seconds after the laptop's zero. */
  readonly nowS: number;
  readonly status?: Partial<ConsoleStatus>;
  readonly answer?: { ok: boolean; text: string };
}

export interface ConsoleUnderTest {
  readonly controller: Controller;
  readonly feed: LiveFeed;
  readonly calls: string[];
  readonly rings: () => number;
  readonly hasQuit: () => boolean;
  /** Presses keys given as a keyboard sends them, half a second apart unless told. */
  readonly press: (bytes: string, apartMs?: number) => void;
  /** Draws what the journal says now. */
  readonly publish: () => void;
  readonly setNow: (nowS: number) => void;
}

export const aStatus: ConsoleStatus = {
  recorder: { kind: "here" },
  notices: [],
  warnings: 0,
  file: "/home/operator/insert-test.swaplap",
  battery: null,
  isPractice: false,
  isBlind: false,
  emergencyText: [],
};

export function aConsole(given: Given): ConsoleUnderTest {
  const { acts, calls } = recordActs(given.answer ?? {});
  const feed = createFeed(summaryOf(given.journal));
  const keys = createKeyStream();
  let nowS = given.nowS;
  let atMs = 1_000_000;
  let rung = 0;
  let hasQuit = false;
  const controller = createController({
    feed,
    acts,
    now: () => instant(nowS),
    status: () => ({ ...aStatus, ...given.status }),
    theme: "none",
    quit: () => {
      hasQuit = true;
    },
    ring: () => {
      rung += 1;
    },
  });
  return {
    controller,
    feed,
    calls,
    rings: () => rung,
    hasQuit: () => hasQuit,
    press(bytes, apartMs = 500) {
      const pressed = [...keys.push(new TextEncoder().encode(bytes)), ...keys.flush()];
      for (const key of pressed) {
        atMs += apartMs;
        controller.press(key, atMs);
      }
    },
    publish() {
      feed.publish(summaryOf(given.journal));
      feed.flush();
    },
    setNow(s) {
      nowS = s;
      controller.tick();
    },
  };
}

/** Takes the act whose line starts so from the list of acts. */
export function choose(under: ConsoleUnderTest, start: string): void {
  under.press("a");
  const { pick } = under.controller.snapshot().state;
  const at = pick?.items.findIndex((item) => item.label.startsWith(start)) ?? -1;
  if (at < 0) throw new RangeError(`no act is called "${start}"`);
  under.press(`${"j".repeat(at)}\r`);
}

/** The console on a terminal of that size. */
export function mounted(
  under: ConsoleUnderTest,
  columns: number,
  rows: number,
  isAscii = false,
): { readonly terminal: EmulatedTerminal; readonly screen: Screen; readonly end: () => void } {
  const terminal = new EmulatedTerminal(columns, rows);
  const screen = new Screen(terminal);
  screen.enter();
  const ink = render(
    <Console
      controller={under.controller}
      isAscii={isAscii}
      size={screen.size}
      subscribeSize={screen.subscribeSize}
    />,
    { stdout: asInkOutput(screen), debug: true, patchConsole: false, exitOnCtrlC: false },
  );
  return {
    terminal,
    screen,
    end() {
      ink.unmount();
    },
  };
}

/** What a person sees of the console at that size. */
export async function picture(
  under: ConsoleUnderTest,
  columns: number,
  rows: number,
  isAscii = false,
): Promise<string> {
  const { terminal, end } = mounted(under, columns, rows, isAscii);
  const text = await terminal.text();
  end();
  return `${text.join("\n")}\n`;
}
