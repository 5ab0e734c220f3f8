// By how much a rider got slower over the last runs of the day, whatever set-ups they were on; called
// by rider-stops.ts.
import type { ComparisonInput } from "../domain/comparison.ts";
import type { Run } from "../domain/run.ts";
import type { RiderId } from "../domain/session.ts";
import { layoutOf, stepColumns } from "../stats/design.ts";
import { isEstimable } from "../stats/least-squares.ts";
import { bankedDesign, contrastValue, partFit } from "../stats/part-fit.ts";
import { RowBank } from "../stats/row-bank.ts";
import { runsToday } from "./time-left.ts";

/** Runs that are looked at together. */
const LAST_RUNS = 4;
/** chosen: below it the day's own spread is hardly known; test/advisor/rider-stops.test.ts. */
const FEWEST_DF = 5;
/** Runs of the day that are looked back at. chosen: a day of one rider holds no more. */
const MOST_RUNS = 60;

export interface Slowing {
  /** Mean of the last four less mean of those before, both as if on one set-up, s. */
  readonly slowerS: number;
  /** The same in run-to-run spreads of the day. */
  readonly spreads: number;
  /** First and last of the four. */
  readonly first: Run;
  readonly last: Run;
}

/**
 * The rider's last four counted runs of the day against all counted before them: a step after the
 * others in a least-squares fit with a level for every set-up and no trend, for a trend is what is
 * looked for. The spread is what that fit leaves. Runs with a sector struck out are left aside, and
 * a marked step of the ground starts afresh.
 *
 * @returns null with fewer than 5 degrees of freedom, without scatter, or where the last four were
 *   on set-ups that nothing before them was
 */
export function slowingOf(
  input: Pick<ComparisonInput, "runs" | "setups">,
  rider: RiderId,
): Slowing | null {
  const own = runsToday(input).filter(
    (run) => run.rider === rider && run.status === "ok" && run.voidSectors.length === 0,
  );
  const ground = own.at(-1)?.ground;
  const runs = own.filter((run) => run.ground === ground).slice(-MOST_RUNS);
  const first = runs.at(-LAST_RUNS);
  const last = runs.at(-1);
  if (first === undefined || last === undefined) return null;
  const rows = runs.map((run, i) => ({
    block: rider,
    setup: run.setup,
    k: i + 1,
    ground: i < runs.length - LAST_RUNS ? 0 : 1,
    timeS: run.timeS ?? 0,
    sectorS: null,
    voidSectors: [],
    isEarlyOnNew: false,
  }));
  const layout = layoutOf(
    rows,
    input.setups.map((setup) => setup.id),
    "none",
  );
  const [step] = stepColumns(layout, 0);
  const bank = new RowBank(layout, 0);
  for (const row of rows) bank.add(row);
  const design = bankedDesign(bank, bank.classes);
  if (step === undefined || design.rankDf < FEWEST_DF) return null;
  const contrast = new Array<number>(bank.columns).fill(0);
  contrast[step] = 1;
  const fit = partFit(design, 0);
  if (!isEstimable(design.factor, contrast) || fit.rss === 0) return null;
  const slowerS = contrastValue(fit, contrast);
  return { slowerS, spreads: slowerS / Math.sqrt(fit.rss / design.rankDf), first, last };
}
