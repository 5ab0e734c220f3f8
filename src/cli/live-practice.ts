// A practice day on the screen, at so many times real speed; or in sentences where there is none.
import { mkdtempSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { ConsoleStatus } from "../tui/console/console-status.ts";
import { runConsole } from "../tui/console/run-console.tsx";
import { actsOn } from "./acts-on-file.ts";
import { comparisonLines } from "./comparison-lines.ts";
import { feedOf } from "./feed-of.ts";
import { author } from "./open-session.ts";
import { nowIn, sayEvents } from "./plain-follow.ts";
import { PracticeDay } from "./practice-day.ts";
import { printLine, tell } from "./print.ts";
import { hasScreen, type ScreenOptions, terminalFor } from "./terminal.ts";

export interface PracticeArguments extends ScreenOptions {
  readonly file: string | undefined;
  readonly runs: number;
  readonly seed: number;
  /** Times real speed. */
  readonly speed: number;
}

const FRAME_MS = 25;

/** Runs until it is left, or without a screen until the last rider is in. */
export async function livePractice(options: PracticeArguments): Promise<void> {
  const file =
    options.file ?? join(mkdtempSync(join(tmpdir(), "swaplap-practice-")), "practice.swaplap");
  const notices: string[] = [];
  const isScreen = hasScreen(options);
  const day = new PracticeDay({
    file,
    runs: options.runs,
    seed: options.seed,
    startAtUs: Date.now() * 1000,
    notice: (text) => {
      notices.push(text);
      if (!isScreen) tell(text);
    },
  });
  day.start();
  if (isScreen) await onScreen(day, options, notices);
  else inSentences(day);
  const { comparison } = day.file.summary();
  const lines = comparisonLines(comparison, day.file.summary());
  await day.stop();
  for (const line of lines) printLine(line);
  tell(`the practice session is kept in ${file}`);
}

function inSentences(day: PracticeDay): void {
  const stop = sayEvents(day.file, false, false);
  day.runToTheEnd();
  stop();
}

async function onScreen(
  day: PracticeDay,
  options: PracticeArguments,
  notices: readonly string[],
): Promise<void> {
  const { feed, stop } = feedOf(day.file);
  const beganUs = day.time.now();
  const beganMs = performance.now();
  const status = (): ConsoleStatus => ({
    recorder: { kind: "here" },
    notices,
    warnings: 0,
    file: day.file.store.file,
    battery: null,
    isPractice: true,
    isBlind: false,
    emergencyText: [],
  });
  const timer = setInterval(() => {
    day.advanceTo(beganUs + (performance.now() - beganMs) * 1000 * options.speed);
  }, FRAME_MS);
  await runConsole({
    terminal: terminalFor(
      () => {
        clearInterval(timer);
      },
      day.file.store.file,
      () => day.time.now() / 1000,
    ),
    feed,
    acts: actsOn(day.file, author("console")),
    now: () => nowIn(day.file),
    status,
    theme: options.theme,
    isAscii: options.ascii === true,
  });
  clearInterval(timer);
  stop();
}
