// How many simulated days a second the built program rides on two cores, against one.
import { execFileSync } from "node:child_process";
import { type Figure, figure } from "./figure.ts";

/** Of plain days of twenty runs, one kind for each difference. */
const DAYS_A_CELL = 1600;

/** Whole runs of the program, start-up included; the same days both times. */
function daysPerSecond(threads: number): number {
  const began = performance.now();
  const out = execFileSync(
    "node",
    ["dist/swaplap.js", "calibrate", "--json", "--kinds", "difference"].concat(
      ["--days", String(DAYS_A_CELL)],
      ["--threads", String(threads)],
    ),
    { encoding: "utf8", stdio: ["ignore", "pipe", "ignore"], maxBuffer: 64 * 1024 * 1024 },
  );
  const seconds = (performance.now() - began) / 1000;
  const { cells } = JSON.parse(out) as { readonly cells: readonly unknown[] };
  return (cells.length * DAYS_A_CELL) / seconds;
}

export function calibrateFigures(): Promise<readonly Figure[]> {
  const two = daysPerSecond(2);
  const one = daysPerSecond(1);
  const yardstick = { what: "the same days on one core", value: one };
  return Promise.resolve([figure("calibrate.days_per_s", two, "days/s", yardstick)]);
}
