// By how much a rider got slower over the last runs of the day, whatever set-ups they were on; called
// by rider-stops.ts.
import type { ComparisonInput } from "../domain/comparison.ts";
import type { Run } from "../domain/run.ts";
import type { RiderId } from "../domain/session.ts";
import { layoutOf, stepColumns } from "../stats/design.ts";
import { contrastWeights } from "../stats/least-squares.ts";
import { bankedDesign, contrastValue, partFit } from "../stats/part-fit.ts";
import { RowBank } from "../stats/row-bank.ts";
import { studentQuantile } from "../stats/student-t.ts";
import { runsToday } from "./time-left.ts";

/** Runs that are looked at together. */
const LAST_RUNS = 4;
/** chosen: below it the day's own spread is hardly known; test/advisor/rider-stops.test.ts. */
const FEWEST_DF = 5;
/**
 * Runs that are looked at, the last four among them. chosen: the further back, the more a slow trend
 * of the ground over the whole day looks like a tired rider; same test.
 */
const MOST_RUNS = 12;
/** In run-to-run spreads. */
const SLOWER_SPREADS = 1.5;
/** Looks in which chance alone may look so. chosen: who is asked for nothing stops listening; same test. */
const FALSE_ASKS = 0.01;

/** The last four runs were slower, by more than chance often gives. */
export interface Slowing {
  /** Mean of the last four less mean of those before, both as if on one set-up, s. */
  readonly slowerS: number;
  /** First and last of the four. */
  readonly first: Run;
  readonly last: Run;
}

/**
 * Whether a rider's last four counted runs of the day were slower than the up to eight before them:
 * by 1.5 spreads, and by what chance alone gives in one look of a hundred.
 *
 * A step after the others in a least-squares fit with a level for every set-up and no trend, for a
 * trend is what is looked for. The day's own spread is what that fit leaves; a few runs often
 * scatter too little, so the usual spread counts where it is known and greater. Runs with a sector
 * struck out are left aside, and a marked step of the ground starts afresh.
 *
 * @returns null if they were not, with fewer than 5 degrees of freedom, without scatter, or where the
 *   last four were on set-ups that nothing before them was
 */
export function slowingOf(
  input: Pick<ComparisonInput, "runs" | "setups" | "settings">,
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
  const z2 = contrastWeights(design.factor, contrast)?.z2;
  const fit = partFit(design, 0);
  if (z2 === undefined || fit.rss === 0) return null;
  const slowerS = contrastValue(fit, contrast);
  const ownS = Math.sqrt(fit.rss / design.rankDf);
  const spreadS = Math.max(ownS, input.settings.spreadS ?? 0);
  const chance = studentQuantile(FALSE_ASKS, design.rankDf) / Math.sqrt(z2);
  return slowerS < Math.max(SLOWER_SPREADS, chance) * spreadS ? null : { slowerS, first, last };
}
