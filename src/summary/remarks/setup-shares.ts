// How many of the runs on each set-up something was true of, in pairs with the baseline; called by
// the remarks on struck-out runs and on mistakes.
import type { ComparisonInput } from "../../domain/comparison.ts";
import type { Run } from "../../domain/run.ts";
import { baselineOf, type SetupId } from "../../domain/session.ts";
import { fisherExact, type Share } from "../../stats/fisher-exact.ts";

/** A set-up with its share of the runs. */
export interface SetupShare extends Share {
  readonly setup: SetupId;
}

/** A set-up beside the baseline, the larger share first; two equal ones with the baseline last. */
export interface SharePair {
  readonly candidate: SetupId;
  readonly more: SetupShare;
  readonly fewer: SetupShare;
  /** Two-sided, by Fisher's exact test. */
  readonly p: number;
}

/**
 * Every set-up beside the baseline, as far as both were ridden and one of them has a marked run.
 *
 * @param runs - those that count for this, of any rider
 */
export function sharePairs(
  input: ComparisonInput,
  runs: readonly Run[],
  isMarked: (run: Run) => boolean,
): readonly SharePair[] {
  const baseline = shareOf(baselineOf(input.setups).id, runs, isMarked);
  return input.setups
    .filter((setup) => setup.id !== baseline.setup)
    .map((setup) => shareOf(setup.id, runs, isMarked))
    .filter((own) => own.of > 0 && baseline.of > 0 && own.count + baseline.count > 0)
    .map((own): SharePair => {
      const isMore = own.count * baseline.of >= baseline.count * own.of;
      const [more, fewer] = isMore ? [own, baseline] : [baseline, own];
      return { candidate: own.setup, more, fewer, p: fisherExact(more, fewer) };
    });
}

/** Share of the runs on one set-up. */
export function shareOf(
  setup: SetupId,
  runs: readonly Run[],
  isMarked: (run: Run) => boolean,
): SetupShare {
  const ridden = runs.filter((run) => run.setup === setup);
  return { setup, count: ridden.filter(isMarked).length, of: ridden.length };
}

/** `3 of 9 runs on B`, `none of 8 runs on A`. */
export function shareWords({ setup, count, of }: SetupShare): string {
  return `${countWords(count)} of ${String(of)} ${of === 1 ? "run" : "runs"} on ${setup}`;
}

/** The same after another: `none of 8 on A`. */
export function otherShareWords({ setup, count, of }: SetupShare): string {
  return `${countWords(count)} of ${String(of)} on ${setup}`;
}

function countWords(count: number): string {
  return count === 0 ? "none" : String(count);
}
