// Keeps earlier answers in sight once more runs have been ridden: the last word of a plan that is
// over, and a verdict that no longer stands. Two of the remarks.
import type { ComparisonInput, Pair, RiderComparison } from "../../domain/comparison.ts";
import type { Remark } from "../../domain/remark.ts";
import type { Rider } from "../../domain/session.ts";
import { compareRiders } from "../../stats/compare.ts";
import { afterRuns } from "../../stats/counted-runs.ts";
import { endRunOf } from "../../stats/rider-plan.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { differenceWords, plainSeconds } from "./seconds-words.ts";
import { wholePairs } from "./whole-pairs.ts";
import { whose } from "./whose.ts";

/** One note a rider and pair in overtime: the band widens there, and the plan's answer stays its answer. */
export function lastWords({ input, riders }: RemarkBasis): readonly Remark[] {
  if (input.settings.bands !== "plan") return [];
  return input.riders.flatMap((rider) => {
    const end = endRunOf(input, rider);
    const now = riders.find((each) => each.rider === rider.id);
    if (end === null || end === 0 || now === undefined || now.counted_runs <= end) return [];
    return pairsAfter(input, rider, end).map((pair) =>
      noteOn(
        input,
        rider,
        pair,
        "last-word",
        `the plan's last word, at run ${String(end)}: ${answerWords(pair)}; since then a wider band holds`,
      ),
    );
  });
}

/** One note for each verdict that was reached and does not stand now. */
export function verdictsBefore({ input, riders }: RemarkBasis): readonly Remark[] {
  return riders.flatMap((now) => {
    const rider = input.riders.find((each) => each.id === now.rider);
    if (rider === undefined) return [];
    return lost(now).flatMap(({ setup, calledAt }) => {
      const then = pairsAfter(input, rider, calledAt).find((pair) => pair.setup === setup);
      if (then === undefined) return [];
      const text = `at run ${String(calledAt)} the answer was: ${answerWords(then)}; the runs since have taken it back`;
      return [noteOn(input, rider, then, "verdict-before", text)];
    });
  });
}

function lost(rider: RiderComparison): readonly { setup: string; calledAt: number }[] {
  return wholePairs(rider).flatMap((pair) =>
    pair.verdict === "cannot-tell" && pair.called_at_run !== null
      ? [{ setup: pair.setup, calledAt: pair.called_at_run }]
      : [],
  );
}

function pairsAfter(input: ComparisonInput, rider: Rider, runs: number): readonly Pair[] {
  const [then] = compareRiders(afterRuns({ ...input, riders: [rider] }, runs));
  return then === undefined ? [] : wholePairs(then).filter((pair) => pair.difference_s !== null);
}

function noteOn(
  input: ComparisonInput,
  rider: Rider,
  pair: Pair,
  kind: string,
  text: string,
): Remark {
  const words = `${whose(input, rider.id)}${text}`;
  return { level: "note", kind, rider: rider.id, setup: pair.setup, run: null, text: words };
}

function answerWords({ setup, baseline, difference_s, band_s, verdict }: Pair): string {
  const versus = `${setup} against ${baseline}`;
  if (verdict === "no-difference") return `${versus} no difference worth having`;
  if (difference_s === null || band_s === null) return `${versus} too early`;
  if (verdict === "cannot-tell" || verdict === null) {
    return `${versus} can't tell, ${differenceWords(difference_s, band_s)}`;
  }
  return `${setup} ${verdict} by ${plainSeconds(difference_s)} (${differenceWords(difference_s, band_s)})`;
}
