// What is known of the run-to-run spread, and how well, from several sources together; called by
// whoever plans a day that others came before, or that has begun.
import type { RiderComparison } from "../domain/comparison.ts";
import type { Run } from "../domain/run.ts";
import type { Settings } from "../domain/session.ts";
import { warmUpSpread } from "../stats/warm-up-spread.ts";
import type { KnownSpread } from "./plan-day.ts";

/**
 * One spread from several, weighted by their degrees of freedom.
 *
 * @returns null where none is known
 * @see the pooled variance of an analysis of variance, sum(df s^2) / sum(df)
 */
export function pooledSpread(spreads: readonly (KnownSpread | null)[]): KnownSpread | null {
  let df = 0;
  let sum = 0;
  for (const spread of spreads) {
    if (spread === null || !(spread.df > 0)) continue;
    df += spread.df;
    sum += spread.df * spread.spreadS ** 2;
  }
  return df > 0 ? { spreadS: Math.sqrt(sum / df), df } : null;
}

/** What the sheet says, where it says how well: a spread that was only told is no measurement. */
export function sheetSpread({ spreadS, spreadDf }: Settings): KnownSpread | null {
  return spreadS === null || spreadDf === null ? null : { spreadS, df: spreadDf };
}

/** Of the counted runs, riders pooled. */
export function countedSpread(riders: readonly RiderComparison[]): KnownSpread | null {
  return pooledSpread(
    riders.map(({ spread_s: spreadS, df }) =>
      spreadS === null || df === null ? null : { spreadS, df },
    ),
  );
}

/** Of the warm-up laps before run 1, each rider's days apart. */
export function warmUpsSpread(runs: readonly Run[]): KnownSpread | null {
  const laps = new Map<string, Run[]>();
  for (const run of runs) {
    if (run.status !== "warm-up" || run.k !== null || run.timeS === null) continue;
    const whose = `${run.rider} ${String(run.day)}`;
    laps.set(whose, [...(laps.get(whose) ?? []), run]);
  }
  return pooledSpread(
    [...laps.values()].map((own) => {
      const times = own.flatMap((run) => run.timeS ?? []);
      return (
        warmUpSpread(
          times,
          own.map((run) => run.setup),
        ) ?? null
      );
    }),
  );
}
