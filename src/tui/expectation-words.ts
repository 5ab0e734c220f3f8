// What a rider expected before riding, said once the clock has answered; called by the console's page
// and the command line.
import type { RiderComparison } from "../domain/comparison.ts";
import { type Expectation, expectationsOf } from "../summary/expectation.ts";
import type { Summary } from "../summary/summary.ts";
import { riderName } from "./look.ts";
import { safeText } from "./present/safe-text.ts";

/** `Rider one expected B quicker by 1.5 s`; nothing on a set-up that the clock can't tell of yet, until the close. */
export function expectationWords(summary: Summary, rider: RiderComparison): readonly string[] {
  const pairs = rider.parts.find((part) => part.part === "whole")?.pairs ?? [];
  const isDecided = (setup: string): boolean =>
    pairs.some((pair) => pair.setup === setup && pair.verdict !== "cannot-tell");
  return expectationsOf(summary)
    .filter((each) => each.rider === rider.rider)
    .filter((each) => summary.isClosed || isDecided(each.setup))
    .map((each) => sentence(summary, each));
}

function sentence(summary: Summary, { rider, setup, expectedS, isLate }: Expectation): string {
  const who = riderName(summary, rider);
  const by = `${expectedS < 0 ? "quicker" : "slower"} by ${String(Math.abs(expectedS))} s`;
  const what = `${safeText(setup)} ${expectedS === 0 ? "no quicker and no slower" : by}`;
  return isLate ? `${who} said after run 1: ${what}` : `${who} expected ${what}`;
}
