// Warns when one set-up of an open pair has far fewer runs than the other; one of the remarks.
import type { ComparisonInput, Pair, RiderComparison } from "../../domain/comparison.ts";
import type { Remark } from "../../domain/remark.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { wholePairs } from "./whole-pairs.ts";
import { whose } from "./whose.ts";

/**
 * Runs of the larger over the smaller. chosen: with one spread for all, set-ups that scatter
 * differently then give several times the promised false calls; with a spread for each the scarcer
 * one decides the width. test/summary/remarks/unequal-counts.test.ts.
 */
const MOST = 1.5;
/** Fewer runs of the larger are no count to speak of. */
const FEWEST_RUNS = 5;

/** One warning for each rider and scarce set-up. A dropped set-up that is decided needs none. */
export function unequalCounts({ input, riders }: RemarkBasis): readonly Remark[] {
  const isOneSpread = input.settings.spreads === "common";
  return riders.flatMap((rider) => {
    const unequal = wholePairs(rider).filter(
      (pair) => isUnequal(pair) && (isOneSpread || pair.verdict === "cannot-tell"),
    );
    const scarce = new Set(unequal.map(scarcer));
    return [...scarce].map((setup): Remark => {
      const pairs = unequal.filter((pair) => scarcer(pair) === setup);
      return {
        level: "warn",
        kind: "unequal-counts",
        rider: rider.rider,
        setup,
        run: null,
        text: whose(input, rider.rider) + words(input, setup, pairs, rider),
      };
    });
  });
}

function words(
  input: ComparisonInput,
  setup: string,
  pairs: readonly Pair[],
  rider: RiderComparison,
): string {
  const others = pairs.map((pair) => (pair.setup === setup ? pair.baseline : pair.setup));
  const [first = "", ...more] = others.map((other) => `${other} ${String(runsOf(rider, other))}`);
  const counts = [`${first} runs`, ...more, `${setup} ${String(runsOf(rider, setup))}`].join(", ");
  const advice = input.isClosed ? "" : `ride ${setup}; `;
  const reason =
    input.settings.spreads === "common"
      ? "with one spread for all set-ups unequal counts can mislead"
      : "the scarcer set-up decides the width";
  return `${counts}: ${advice}${reason}`;
}

function isUnequal({ runs, baseline_runs: others }: Pair): boolean {
  const most = Math.max(runs, others);
  const least = Math.min(runs, others);
  return least > 0 && most >= FEWEST_RUNS && most > MOST * least;
}

function scarcer(pair: Pair): string {
  return pair.runs < pair.baseline_runs ? pair.setup : pair.baseline;
}

function runsOf(rider: RiderComparison, setup: string): number {
  const pair = wholePairs(rider).find((each) => each.setup === setup);
  return pair?.runs ?? wholePairs(rider)[0]?.baseline_runs ?? 0;
}
