// The whole run where some runs have a sector struck out: each sector is fitted on the runs that
// are good in it, and the sectors are added up; called by replay.ts.
import type { SetupId } from "../domain/session.ts";
import { carriesWeight, type GroupVariance, NO_DF } from "./contrast-sums.ts";
import { addTo, entry, item } from "./entry.ts";
import {
  type BankedDesign,
  bankedDesign,
  contrastValue,
  type PartFit,
  pairContrast,
  partFit,
} from "./part-fit.ts";
import type { RowBank, RunClass } from "./row-bank.ts";

/** Every sector fitted on its own good runs, and what ties the sectors together. */
export interface SectorwiseFit {
  /** The design of all runs, whatever is struck out. */
  readonly all: BankedDesign;
  /** One a sector. */
  readonly fits: readonly PartFit[];
  /** Residuals of each sector by row of `all`, 0 where the run is not good in it. */
  readonly residuals: readonly Float64Array[];
  /** Covariances of the sectors' scatter, s^2: C. */
  readonly covariance: readonly (readonly number[])[];
  /** Variance of a whole run, s^2: S2 = sum of C. */
  readonly variance: number;
  /** Mean over the sectors of good runs less rank. */
  readonly df: number;
  /** [s][t][g]: degrees of freedom of set-up g in the runs good in both sectors. */
  readonly groupDf: readonly (readonly (readonly number[])[])[];
  /** [s][t][g]: sum of products of residuals of set-up g, s^2. */
  readonly groupProducts: readonly (readonly (readonly number[])[])[];
}

/** A pair's whole-run difference from sectorwise fits. */
export interface SectorwisePair {
  readonly differenceS: number;
  /** V: pooled variance of the difference, s^2, above 0. */
  readonly variance: number;
  readonly z2: number;
  /** One a set-up; for a spread of each set-up. */
  readonly groups: readonly GroupVariance[];
}

/** Whether a run of the class is good in a sector. */
function isGoodIn(runs: RunClass, sector: number): boolean {
  return runs.hasSectors && !runs.voidSectors.includes(sector);
}

/**
 * Fits every sector on the runs that are good in it.
 *
 * Our own construction on the published statistic: C_st = sum e_s e_t / (common runs - rank) with
 * the residuals of two fits; with nothing struck out it is the whole run's fit.
 *
 * @param classes - runs to use; all must have every split
 * @returns undefined if some two sectors share too few good runs or there is no scatter: then every
 *   run with a sector struck out has to be treated as void
 * @see test/reference/days.test.ts, recomputed in R
 */
export function sectorwiseFit(
  bank: RowBank,
  classes: readonly RunClass[],
): SectorwiseFit | undefined {
  const all = bankedDesign(bank, classes);
  const designs = new Map<string, BankedDesign>();
  const fits = Array.from({ length: bank.sectors }, (_, i) => {
    const good = classes.filter((runs) => isGoodIn(runs, i + 1));
    const key = good.map((runs) => classes.indexOf(runs)).join();
    const design = designs.get(key) ?? bankedDesign(bank, good);
    designs.set(key, design);
    return partFit(design, i + 1);
  });
  const spread = (fit: PartFit, values: Float64Array): Float64Array =>
    onto(all, fit.design, values);
  const residuals = fits.map((fit) => spread(fit, fit.residuals));
  const h = fits.map((fit) => spread(fit, fit.design.leverages));
  const groups = all.counts.length;
  const covariance: number[][] = [];
  const groupDf: number[][][] = [];
  const groupProducts: number[][][] = [];
  for (let s = 0; s < bank.sectors; s += 1) {
    covariance.push([]);
    groupDf.push([]);
    groupProducts.push([]);
    for (let t = 0; t < bank.sectors; t += 1) {
      const df = new Array<number>(groups).fill(0);
      const products = new Array<number>(groups).fill(0);
      let runs = 0;
      all.classes.forEach((group, c) => {
        const span = item(all.spans, c);
        if (!isGoodIn(group, s + 1) || !isGoodIn(group, t + 1)) return;
        const g = all.bank.layout.setups.indexOf(group.setup);
        runs += group.count;
        let d = group.count;
        let product = 0;
        for (let i = span.from; i < span.to; i += 1) {
          d -= (entry(item(h, s), i) + entry(item(h, t), i)) / 2;
          product += entry(item(residuals, s), i) * entry(item(residuals, t), i);
        }
        addTo(df, g, d);
        addTo(products, g, product);
      });
      if (runs <= all.factor.rank) return undefined;
      const sum = products.reduce((a, b) => a + b, 0);
      item(covariance, s).push(sum / (runs - all.factor.rank));
      item(groupDf, s).push(df);
      item(groupProducts, s).push(products);
    }
  }
  if (fits.every((fit) => fit.rss === 0)) return undefined;
  const variance = covariance.flat().reduce((a, b) => a + b, 0);
  if (!(variance > 0)) return undefined;
  const good = fits.reduce((sum, fit) => sum + fit.design.runs, 0);
  const df = good / fits.length - all.factor.rank;
  return { all, fits, residuals, covariance, variance, df, groupDf, groupProducts };
}

/**
 * A pair's difference as the sum of the sectors'.
 *
 * @returns undefined if a sector does not determine the pair, or its variance is not above 0
 */
export function sectorwisePair(
  fit: SectorwiseFit,
  candidate: SetupId,
  baseline: SetupId,
): SectorwisePair | undefined {
  const { all, covariance } = fit;
  const weights: Float64Array[] = [];
  let differenceS = 0;
  for (const sector of fit.fits) {
    const pair = pairContrast(sector.design, candidate, baseline);
    if (pair === undefined) return undefined;
    differenceS += contrastValue(sector, pair.contrast);
    weights.push(onto(all, sector.design, pair.weights));
  }
  const cells = weights.flatMap((as, s) =>
    weights.map((at, t) => ({ s, t, products: productsBySetup(all, as, at) })),
  );
  const variance = cells.reduce(
    (sum, { s, t, products }) =>
      sum + item(item(covariance, s), t) * products.reduce((a, b) => a + b, 0),
    0,
  );
  if (!(variance > 0)) return undefined;
  const z2 = fit.variance / variance;
  const groups = all.counts.map((_, g) => {
    const group = { weight: 0, df: 0, variance: 0, pooled: 0 };
    let hasNoDf = false;
    for (const { s, t, products } of cells) {
      const product = item(products, g);
      const df = item(item(item(fit.groupDf, s), t), g);
      group.pooled += item(item(covariance, s), t) * product;
      if (df > NO_DF) {
        group.variance += (item(item(item(fit.groupProducts, s), t), g) / df) * product;
      } else if (carriesWeight(Math.abs(product), z2)) {
        hasNoDf = true;
      }
      if (s !== t) continue;
      group.weight = Math.max(group.weight, product);
      group.df += df / weights.length;
    }
    return hasNoDf ? { ...group, df: 0 } : group;
  });
  return { differenceS, variance, z2, groups };
}

function productsBySetup(all: BankedDesign, a: Float64Array, b: Float64Array): readonly number[] {
  const products = new Array<number>(all.counts.length).fill(0);
  all.groups.forEach((g, i) => {
    addTo(products, g, entry(a, i) * entry(b, i));
  });
  return products;
}

/**
 * Spread of each set-up over a whole run, s, and its degrees of freedom; null where it has none.
 */
export function sectorwiseSpreads(
  fit: SectorwiseFit,
): readonly { readonly df: number | null; readonly spreadS: number | null }[] {
  return fit.all.counts.map((_, g) => {
    const cells = fit.groupDf.flatMap((row, s) =>
      row.map((groups, t) => ({
        df: item(groups, g),
        products: item(item(item(fit.groupProducts, s), t), g),
        isDiagonal: s === t,
      })),
    );
    if (cells.some((cell) => cell.df <= NO_DF)) return { df: null, spreadS: null };
    const variance = cells.reduce((sum, cell) => sum + cell.products / cell.df, 0);
    const df = cells.reduce((sum, cell) => sum + (cell.isDiagonal ? cell.df : 0), 0);
    return { df: df / fit.fits.length, spreadS: Math.sqrt(Math.max(0, variance)) };
  });
}

/** Values by row of `design` placed on the rows of `all`, 0 elsewhere. */
function onto(all: BankedDesign, design: BankedDesign, values: Float64Array): Float64Array {
  const placed = new Float64Array(all.groups.length);
  all.classes.forEach((runs, c) => {
    const at = design.classes.indexOf(runs);
    if (at < 0) return;
    const { from, to } = item(design.spans, at);
    placed.set(values.subarray(from, to), item(all.spans, c).from);
  });
  return placed;
}
