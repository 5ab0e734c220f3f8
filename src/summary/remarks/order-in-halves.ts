// Warns when one set-up was ridden first and then the other, with what that costs; one of the remarks.
import type { ComparisonInput, Pair, RiderComparison } from "../../domain/comparison.ts";
import type { Remark } from "../../domain/remark.ts";
import { multipliersAt } from "../../stats/band-in-force.ts";
import { type CountedRun, sortedRuns } from "../../stats/counted-runs.ts";
import { baselineFirst } from "../../stats/design.ts";
import { type OrderWorth, orderWorths } from "../../stats/order-worth.ts";
import { fitRider } from "../../stats/rider-fit.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { plainSeconds } from "./seconds-words.ts";
import { wholePairs } from "./whole-pairs.ts";
import { whose } from "./whose.ts";

/** One warning a rider and pair. */
export function ordersInHalves({ input, riders }: RemarkBasis): readonly Remark[] {
  return riders.flatMap((rider) => {
    const ridden = wholePairs(rider).filter((pair) => pair.runs > 0 && pair.baseline_runs > 0);
    const baseline = ridden[0]?.baseline;
    if (baseline === undefined) return [];
    const { counted } = sortedRuns(input, [rider.rider]);
    const setups = baselineFirst([...new Set(counted.map((run) => run.setup))], baseline);
    const pairs = ridden.map((pair) => ({ candidate: pair.setup, baseline }));
    const worths = orderWorths(counted, setups, input.settings.drift, pairs);
    return ridden.flatMap((pair, i) => {
      const worth = worths[i];
      return worth?.isInHalves === true ? [remarkOn(input, rider, pair, counted, worth)] : [];
    });
  });
}

function remarkOn(
  input: ComparisonInput,
  rider: RiderComparison,
  pair: Pair,
  counted: readonly CountedRun[],
  worth: OrderWorth,
): Remark {
  const own = counted.filter((run) => run.setup === pair.setup || run.setup === pair.baseline);
  const second = own.at(-1)?.setup === pair.baseline ? pair.baseline : pair.setup;
  const first = second === pair.setup ? pair.baseline : pair.setup;
  const order = worth.isOneChange
    ? `${first} first, then ${second}`
    : `${pair.baseline} and ${pair.setup} in long blocks`;
  return {
    level: "warn",
    kind: "order-in-halves",
    rider: rider.rider,
    setup: pair.setup,
    run: null,
    text: `${whose(input, rider.rider)}${order}: ${costWords(input, rider, pair, worth, second)}`,
  };
}

function costWords(
  input: ComparisonInput,
  rider: RiderComparison,
  pair: Pair,
  worth: OrderWorth,
  second: string,
): string {
  if (pair.difference_s === null) {
    return "the runs can't tell the set-up from the day; swap back and forth";
  }
  const plain = `a change of the ground looks like ${second}; swap back and forth`;
  const swappingS = swappingHalfWidthS(input, rider, pair, worth);
  if (swappingS === null) return plain;
  const nowS = pair.band_s === null ? null : (pair.band_s[1] - pair.band_s[0]) / 2;
  if (nowS !== null && nowS <= swappingS) return plain;
  const now = nowS === null ? "there is no band yet" : `the band is +-${plainSeconds(nowS)}`;
  return `${now}; swapping back and forth would have given +-${plainSeconds(swappingS)}, and a change of the ground would not look like ${second}`;
}

/** The band that the same spread and limits would give in the mirrored order; null: none either. */
function swappingHalfWidthS(
  input: ComparisonInput,
  rider: RiderComparison,
  pair: Pair,
  { alternating }: OrderWorth,
): number | null {
  const { drift, spreads } = input.settings;
  // Without a trend in the model the band would be the same, and wrong.
  if (drift === "none" || alternating === undefined) return null;
  const now = fitRider(input, rider.rider)?.pairBand(pair.setup, pair.baseline);
  if (now === undefined || now.standardErrorS === null || now.z2 === null) return null;
  const df = spreads === "each" ? (alternating.equalDf ?? 0) : alternating.rankDf;
  const limits = now.bands.at(rider.counted_runs);
  const { multiplier } = multipliersAt(limits, df, alternating.z2);
  const half = multiplier * now.standardErrorS * Math.sqrt(now.z2 / alternating.z2);
  return Number.isFinite(half) ? half : null;
}
