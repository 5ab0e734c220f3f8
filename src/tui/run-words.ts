// What is said of one run, of one gate, of one passing; used by the console, the board and the plain sentences.
import { assertNever } from "../domain/errors.ts";
import type { Passing, PassingState } from "../domain/passing.ts";
import type { Run } from "../domain/run.ts";
import type { Gate } from "../domain/session.ts";
import { safeText } from "./present/safe-text.ts";
import { runTime } from "./present/seconds.ts";

/** chosen: a time known no better than this is not written with thousandths. */
const COARSE_S = 0.02;

/** The run's time with as many decimals as it is worth: hand-keyed ones have one. */
export function timeOfRun(run: Run): string {
  const isCoarse = run.timedBy === "hand" || (run.uncertaintyS ?? 0) > COARSE_S;
  return runTime(run.timeS, isCoarse ? 1 : 3);
}

/** The run's number in the comparison; warm-ups have none. */
export function runNumber(run: Run): string {
  return run.k === null ? "w" : String(run.k);
}

/** `run 12`, `warm-up`: how sentences name a run. */
export function runName(run: Run): string {
  return run.k === null ? "warm-up" : `run ${String(run.k)}`;
}

/** The run's status in one word; nothing for a run that counts. */
export function statusWord(run: Run): string {
  switch (run.status) {
    case "ok":
      return "";
    case "void":
      return "void";
    case "dnf":
      return "DNF";
    case "unsure":
      return "unsure";
    case "warm-up":
      return "warm-up";
    case "on-course":
      return "riding";
    default:
      return assertNever(run.status);
  }
}

/** All that is unusual about a run, in words. */
export function runRemarks(run: Run): readonly string[] {
  const voided = run.voidSectors.map((n) => `sector ${String(n)} void`);
  const reason = run.status === "void" ? [run.reason ?? "no reason given yet"] : [];
  const timedBy = run.timedBy === "beam" ? [] : [run.timedBy === "hand" ? "hand" : run.timedBy];
  const provisional = run.provisional ? ["provisional"] : [];
  const note = run.note === null ? [] : [run.note];
  return [...reason, ...voided, ...timedBy, ...provisional, ...run.flags, ...note].map(safeText);
}

/** Names of the gates in riding order: `start`, `split 1`, `finish`. */
export function gateNames(gates: readonly Gate[]): readonly string[] {
  let splits = 0;
  return gates.map((gate) => {
    if (gate.role !== "split") return gate.role;
    splits += 1;
    return `split ${String(splits)}`;
  });
}

/** Why a passing is in no run, in words. */
export function passingWords(passing: Passing): string {
  return PASSING_WORDS[passing.state];
}

const PASSING_WORDS: Readonly<Record<PassingState, string>> = {
  matched: "in a run",
  "false-start": "false start",
  double: "second trip of the same bike",
  "not-a-bike": "not a bike?",
  rejected: "struck out",
  orphan: "no start to it",
  old: "from before this session",
  "unknown-time": "clock of the box not known",
};
