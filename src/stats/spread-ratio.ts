// How much more one set-up scatters than another, with a band that may be read after every run;
// called by the remark on consistency.
import type { DriftModel, SetupId } from "../domain/session.ts";
import { layoutOf, transpose } from "./design.ts";
import { entry, item } from "./entry.ts";
import { factorise, solve } from "./least-squares.ts";
import { type BankedRun, RowBank } from "./row-bank.ts";

/** What is asked of a run. */
type RatioRun = Pick<BankedRun, "block" | "setup" | "k" | "ground" | "timeS">;

/** Low and high end of candidate's spread over baseline's. */
export type RatioBand = readonly [low: number, high: number];

/** ln likelihood of a ratio of spreads, up to a constant. */
export type RatioLikelihood = (ratio: number) => number;

/** Runs of the pair before which there is no band. */
const FEWEST_RUNS = 6;
/** Step of ln ratio: of the mixture and of the search. */
const STEP = 0.1;
/** The mixture reaches three of its standard deviations. */
const MIXTURE_STEPS = 15;
const MIXTURE_SD = 0.5;
/** Ratios beyond e^3, a factor of 20, are not looked at: such a band says nothing. */
const SEARCH_STEPS = 30;
/** Residuals below this share of the times are rounding, as in part-fit.ts. */
const NO_SCATTER = 1e-11;

/**
 * Likelihood of the ratio of two spreads, from the runs of the two set-ups alone: levels, session
 * drift and the size of the scatter drop out (residual maximum likelihood). With W = 1 for the
 * baseline's runs and 1 / ratio^2 for the candidate's
 *
 *     l = -n_B ln ratio - 1/2 ln det(X'WX) - (n - p)/2 ln RSS_W
 *
 * @param runs - counted runs of one or more days; those of other set-ups are passed over
 * @returns undefined with fewer than six runs of the pair, fewer than two of either, no degree of
 *   freedom or no scatter on either of them
 * @see Patterson & Thompson (1971), Biometrika 58, 545-554; Harville (1974), Biometrika 61, 383-385
 *   (both from memory)
 */
export function ratioLikelihood(
  runs: readonly RatioRun[],
  candidate: SetupId,
  baseline: SetupId,
  drift: DriftModel,
): RatioLikelihood | undefined {
  const own = runs.filter((run) => run.setup === candidate || run.setup === baseline);
  const bank = new RowBank(layoutOf(own, [baseline, candidate], drift), 0);
  for (const run of own) {
    bank.add({ ...run, sectorS: null, voidSectors: [], isEarlyOnNew: false });
  }
  const a = bank.classes.find((each) => each.setup === baseline);
  const b = bank.classes.find((each) => each.setup === candidate);
  if (a === undefined || b === undefined || own.length < FEWEST_RUNS) return undefined;
  if (a.count < 2 || b.count < 2) return undefined;
  if (!hasScatter(bank, a.rows) || !hasScatter(bank, b.rows)) return undefined;
  const all = [...a.rows, ...b.rows];
  const factor = factorise(transpose(all, bank.columns));
  const { coefficients } = solve(factor, timesOf(bank, all));
  const sumsOf = (rows: readonly Float64Array[]): Sums =>
    squaredSums(rows.map((row) => residualRow(row, factor.kept, coefficients)));
  const ofA = sumsOf(a.rows);
  const ofB = sumsOf(b.rows);
  const df = own.length - factor.rank;
  return (ratio) => {
    const weight = 1 / ratio ** 2;
    const { lnDet, rss } = eliminated(
      ofA.map((row, i) => row.map((sum, j) => sum + weight * item(item(ofB, i), j))),
    );
    return -b.count * Math.log(ratio) - lnDet / 2 - (df / 2) * Math.log(rss);
  };
}

/** Whether a set-up's own runs leave anything once they are fitted by themselves. */
function hasScatter(bank: RowBank, rows: readonly Float64Array[]): boolean {
  const { rss } = solve(factorise(transpose(rows, bank.columns)), timesOf(bank, rows));
  return rss > rows.length * (NO_SCATTER * bank.largest(0)) ** 2;
}

function timesOf(bank: RowBank, rows: readonly Float64Array[]): readonly number[] {
  return rows.map((row) => entry(row, bank.columns));
}

/** Sums of products of the columns and, last, the times. */
type Sums = readonly (readonly number[])[];

/**
 * The columns that the fit keeps, then what the plain fit leaves of the time: sums of squares of the
 * times themselves would lose the scatter in them.
 */
function residualRow(
  row: Float64Array,
  kept: readonly number[],
  coefficients: readonly number[],
): readonly number[] {
  const fitted = coefficients.reduce((sum, c, j) => sum + c * entry(row, j), 0);
  return [...kept.map((j) => entry(row, j)), entry(row, coefficients.length) - fitted];
}

function squaredSums(rows: readonly (readonly number[])[]): Sums {
  const width = rows[0]?.length ?? 0;
  return Array.from({ length: width }, (_, i) =>
    Array.from({ length: width }, (__, j) =>
      rows.reduce((sum, row) => sum + item(row, i) * item(row, j), 0),
    ),
  );
}

/** Gauss: ln of the determinant of X'WX, and what is left of the times' own sum. */
function eliminated(sums: Sums): { readonly lnDet: number; readonly rss: number } {
  const rows = sums.map((row) => [...row]);
  const last = rows.length - 1;
  let lnDet = 0;
  for (let k = 0; k < last; k += 1) {
    const from = item(rows, k);
    const pivot = item(from, k);
    lnDet += Math.log(pivot);
    for (let i = k + 1; i <= last; i += 1) {
      const row = item(rows, i);
      const share = item(row, k) / pivot;
      for (let j = k; j <= last; j += 1) row[j] = item(row, j) - share * item(from, j);
    }
  }
  return { lnDet, rss: item(item(rows, last), last) };
}

/** Weights of the mixture, normal with sd 0.5 in ln ratio, adding up to 1. */
const MIXTURE = ((): readonly number[] => {
  const bell = Array.from({ length: 2 * MIXTURE_STEPS + 1 }, (_, j) =>
    Math.exp(-0.5 * (((j - MIXTURE_STEPS) * STEP) / MIXTURE_SD) ** 2),
  );
  const sum = bell.reduce((total, weight) => total + weight, 0);
  return bell.map((weight) => weight / sum);
})();

/**
 * ln of the evidence against a ratio: the likelihood of a mixture of ratios around it over its own.
 * For the true ratio a martingale from run to run, whatever the design.
 *
 * @see Robbins (1970), Ann. Math. Statist. 41, 1397-1409, for mixtures of likelihood ratios (from
 *   memory)
 */
export function ratioLogEvidence(likelihood: RatioLikelihood, ratio: number): number {
  const around = MIXTURE.map((_, j) => likelihood(ratio * Math.exp((j - MIXTURE_STEPS) * STEP)));
  return mixedEvidence(around);
}

/** @param around - ln likelihoods at the mixture's ratios, the ratio in question in the middle */
function mixedEvidence(around: readonly number[]): number {
  const middle = item(around, MIXTURE_STEPS);
  const largest = Math.max(...around);
  const sum = MIXTURE.reduce((total, w, j) => total + w * Math.exp(item(around, j) - largest), 0);
  return Math.log(sum) + largest - middle;
}

/**
 * Every ratio that the runs are still compatible with: those with ln evidence up to the threshold.
 *
 * @param threshold - as `ratioThreshold` gives it, above 0
 * @returns undefined while an end lies beyond a factor of 20
 */
export function ratioBand(likelihood: RatioLikelihood, threshold: number): RatioBand | undefined {
  const reach = SEARCH_STEPS + MIXTURE_STEPS;
  const known = Array.from({ length: 2 * reach + 1 }, (_, i) =>
    likelihood(Math.exp((i - reach) * STEP)),
  );
  const evidence = Array.from({ length: 2 * SEARCH_STEPS + 1 }, (_, i) =>
    mixedEvidence(known.slice(i, i + MIXTURE.length)),
  );
  const first = evidence.findIndex((each) => each <= threshold);
  const last = evidence.findLastIndex((each) => each <= threshold);
  if (first <= 0 || last >= evidence.length - 1) return undefined;
  /** ln ratio at which the evidence passes the threshold, between two steps. */
  const crossing = (inside: number, outside: number): number => {
    const from = item(evidence, inside);
    const share = (threshold - from) / (item(evidence, outside) - from);
    return (inside + (outside - inside) * share - SEARCH_STEPS) * STEP;
  };
  return [Math.exp(crossing(first, first - 1)), Math.exp(crossing(last, last + 1))];
}

/** Degrees of freedom at the planned end, and the threshold that belongs to them. */
const THRESHOLDS: readonly (readonly [nuN: number, threshold: number])[] = [
  [9, 0.82],
  [10, 0.89],
  [11, 0.95],
  [13, 1.06],
  [17, 1.26],
  [27, 1.54],
  [37, 1.7],
  [57, 1.92],
  [97, 2.14],
];
/** Good for any number of looks, by Ville's inequality. */
const OPEN_THRESHOLD = -Math.log(0.05);

/**
 * Threshold on the evidence that the true ratio passes at any look on 5 % of days.
 *
 * chosen: by simulation, 100,000 to 200,000 days a figure, looks from the sixth run to the planned
 * end, order ABBA; of three models of session drift and true ratios of 1 and 3 the largest
 * (simulation error 0.01). Between the figures linear in ln nuN, beyond 97 along the last two. Longer
 * runs of one set-up need less. test/stats/spread-ratio.test.ts would notice a bad choice.
 *
 * @param nuN - planned runs less levels, drift terms and 1; null without a plan or after its end
 * @returns the open threshold, -ln 0.05, below 9 degrees of freedom and without a plan
 */
export function ratioThreshold(nuN: number | null): number {
  if (nuN === null || nuN < item(THRESHOLDS, 0)[0]) return OPEN_THRESHOLD;
  const next = THRESHOLDS.findIndex(([df]) => df > nuN);
  const upper = next < 0 ? THRESHOLDS.length - 1 : next;
  const [lowDf, low] = item(THRESHOLDS, upper - 1);
  const [highDf, high] = item(THRESHOLDS, upper);
  const share = Math.log(nuN / lowDf) / Math.log(highDf / lowDf);
  return Math.min(OPEN_THRESHOLD, low + (high - low) * share);
}
