// Which set-up is the more even one, and whether that could be chance; one of the remarks.
import type { ComparisonInput, Pair, RiderComparison } from "../../domain/comparison.ts";
import type { Remark } from "../../domain/remark.ts";
import type { Rider } from "../../domain/session.ts";
import { sortedRuns } from "../../stats/counted-runs.ts";
import { driftTerms } from "../../stats/design.ts";
import { plannedRunsOf } from "../../stats/rider-plan.ts";
import {
  type RatioBand,
  ratioBand,
  ratioLikelihood,
  ratioThreshold,
} from "../../stats/spread-ratio.ts";
import { type SpreadRange, spreadRange } from "../spread-range.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { wholePairs } from "./whole-pairs.ts";
import { whose } from "./whose.ts";

/**
 * With more runs of a rider the spreads' own ranges are told instead. chosen: the search for the
 * ratio goes in steps of a tenth, which is then coarser than what the runs say.
 */
const MOST_RUNS = 400;
/**
 * High over low end of a range that is worth telling. chosen: a factor of three either way; a wider
 * one only says that nothing is known yet, and says it anew after every run.
 */
const WIDEST = 9;

/** One note a rider and pair, once anything can be said. It is no verdict. */
export function consistencies({ input, riders }: RemarkBasis): readonly Remark[] {
  return riders.flatMap((rider) =>
    wholePairs(rider).flatMap((pair): readonly Remark[] => {
      const words = wordsOn(input, rider, pair);
      if (words === undefined) return [];
      return [
        {
          level: "note",
          kind: "consistency",
          rider: rider.rider,
          setup: pair.setup,
          run: null,
          text: `${whose(input, rider.rider)}${words}`,
        },
      ];
    }),
  );
}

function wordsOn(input: ComparisonInput, rider: RiderComparison, pair: Pair): string | undefined {
  const range = (setup: string): SpreadRange | undefined => {
    const found = rider.setup_spreads.find((each) => each.setup === setup);
    return found && spreadRange(found);
  };
  const candidate = range(pair.setup);
  const baseline = range(pair.baseline);
  if (candidate === undefined || baseline === undefined) return undefined;
  const isCandidate = candidate.spreadS <= baseline.spreadS;
  const [even, other] = isCandidate ? [candidate, baseline] : [baseline, candidate];
  const decimals = even.spreadS < 0.2 ? 2 : 1;
  const figure = (value: number): string => value.toFixed(decimals);
  const isAlike = figure(even.spreadS) === figure(other.spreadS);
  const who = isAlike ? `${even.setup} as even as ${other.setup}` : `${even.setup} more even`;
  const figures = `${who}: ${figure(even.spreadS)} v ${figure(other.spreadS)} s`;
  if (rider.counted_runs > MOST_RUNS) {
    const ends = (each: SpreadRange): string => `${figure(each.lowS)} to ${figure(each.highS)}`;
    return `${figures} (ranges ${ends(even)} and ${ends(other)} s)`;
  }
  const band = ratioOf(input, rider, pair);
  if (band === undefined) return undefined;
  const [low, high] = isCandidate ? band : ([1 / band[1], 1 / band[0]] as const);
  if (high < 1) return `${figures}, and hardly by chance`;
  if (high > WIDEST * low) return undefined;
  return `${figures} (${timesWords(low)} to ${timesWords(high)} times as much): could be chance`;
}

/** Candidate's spread over baseline's, from the runs with nothing struck out. */
function ratioOf(
  input: ComparisonInput,
  { rider, counted_runs: n }: RiderComparison,
  { setup, baseline }: Pair,
): RatioBand | undefined {
  const runs = sortedRuns(input, [rider]).counted.filter((run) => run.voidSectors.length === 0);
  const likelihood = ratioLikelihood(runs, setup, baseline, input.settings.drift);
  if (likelihood === undefined) return undefined;
  const found = input.riders.find((each) => each.id === rider);
  return ratioBand(
    likelihood,
    ratioThreshold(found === undefined ? null : plannedDf(input, found, n)),
  );
}

/** Degrees of freedom at the end of the rider's plan; null without one and beyond it. */
function plannedDf(input: ComparisonInput, rider: Rider, n: number): number | null {
  const planned = plannedRunsOf(input, rider);
  if (planned === null || n > planned) return null;
  return planned - input.settings.days * (1 + driftTerms(input.settings.drift)) - 1;
}

const FRACTIONS = [
  [1 / 4, "a quarter"],
  [1 / 3, "a third"],
  [1 / 2, "half"],
  [2 / 3, "two thirds"],
] as const;

/** `a third` where it is nearly that, else `0.8` or `1.4`. */
function timesWords(ratio: number): string {
  const near = FRACTIONS.find(([fraction]) => Math.abs(ratio / fraction - 1) < 0.07);
  return near?.[1] ?? ratio.toFixed(1);
}
