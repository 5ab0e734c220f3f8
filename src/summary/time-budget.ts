// What the uncertainty of a run's time is made of; called where somebody asks for it.
import type { Passing } from "../domain/passing.ts";
import type { Run } from "../domain/run.ts";
import { combinedUncertainty } from "../session/combined-uncertainty.ts";
import { type TimePart, travel } from "../session/travel.ts";
import type { Summary } from "./summary.ts";

/** One part: as the fold has it, or the whole as it was given with an imported time. */
export interface BudgetPart extends Omit<TimePart, "kind"> {
  readonly kind: TimePart["kind"] | "given";
}

/** The parts of one run's uncertainty; all in s. */
export interface TimeBudget {
  readonly runId: string;
  readonly timeS: number;
  /** Largest first; empty if an imported time came without an uncertainty. */
  readonly parts: readonly BudgetPart[];
  /** Combined standard uncertainty: the run's `uncertainty_s`. */
  readonly combinedS: number | null;
  /** Expanded, coverage factor 2: about 95 %. */
  readonly expandedS: number | null;
  /** Of the parts that all runs share: they cancel in a difference of two runs. */
  readonly commonS: number | null;
  /** Of the other parts: what two runs differ by without any difference between them. */
  readonly ownS: number | null;
  readonly isProvisional: boolean;
}

/** Coverage factor, about 95 %. */
const K = 2;

function combined(parts: readonly BudgetPart[]): number | null {
  if (parts.length === 0) return null;
  return combinedUncertainty(parts.map(({ uncertaintyS: u }) => ({ sensitivity: 1, u })));
}

function partsOf({ passings, gates }: Summary, run: Run): readonly BudgetPart[] {
  if (run.timedBy === "import") {
    const uncertaintyS = run.uncertaintyS;
    if (uncertaintyS === null) return [];
    return [{ kind: "given", at: "both", halfWidthS: null, uncertaintyS, isCommon: false }];
  }
  const at = (gate: number): Passing | undefined =>
    passings.find((p) => p.runId === run.runId && p.state === "matched" && p.gate === gate);
  const start = at(0);
  const finish = at(Math.max(gates.length - 1, 1));
  return start === undefined || finish === undefined ? [] : travel(start, finish).parts;
}

/**
 * The budget of one run.
 *
 * @returns null if there is no such run or it has no time
 * @see JCGM 100:2008, 5.1.2 (combined), 6.2 (expanded)
 */
export function timeBudget(summary: Summary, runId: string): TimeBudget | null {
  const run = summary.runs.find((each) => each.runId === runId);
  if (run === undefined || run.timeS === null) return null;
  const parts = partsOf(summary, run).toSorted((a, b) => b.uncertaintyS - a.uncertaintyS);
  const combinedS = combined(parts);
  const whole = parts.length > 0;
  return {
    runId,
    timeS: run.timeS,
    parts,
    combinedS,
    expandedS: combinedS === null ? null : K * combinedS,
    commonS: whole ? (combined(parts.filter((part) => part.isCommon)) ?? 0) : null,
    ownS: whole ? (combined(parts.filter((part) => !part.isCommon)) ?? 0) : null,
    isProvisional: run.provisional,
  };
}

/**
 * Standard uncertainty of the difference of two runs' times, s: what they have in common is fully
 * correlated and cancels as far as it is alike.
 *
 * @returns null if either is not known
 * @see JCGM 100:2008, 5.2.2
 */
export function differenceUncertainty(a: TimeBudget, b: TimeBudget): number | null {
  if (a.commonS === null || a.ownS === null || b.commonS === null || b.ownS === null) return null;
  const inputs = [
    { sensitivity: 1, u: a.commonS },
    { sensitivity: -1, u: b.commonS },
    { sensitivity: 1, u: a.ownS },
    { sensitivity: -1, u: b.ownS },
  ];
  return combinedUncertainty(inputs, (i, j) => (i === 0 && j === 1 ? 1 : 0));
}
