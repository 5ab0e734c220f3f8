// One least-squares fit of a part of the stretch over banked runs, with the sums by set-up that
// errors and degrees of freedom are made of; called by replay.ts and sector-void.ts.
import type { SetupId } from "../domain/session.ts";
import { setupContrast, transpose } from "./design.ts";
import { addTo, entry, item } from "./entry.ts";
import {
  contrastWeights,
  type Factor,
  factorise,
  orthogonalRow,
  type Solution,
  solve,
} from "./least-squares.ts";
import type { RowBank, RunClass } from "./row-bank.ts";

/**
 * Residuals smaller than this share of the times are rounding: clocks give whole microseconds of
 * runs of seconds (1e-6 to 1e-9 of them), rounding leaves some 1e-15. So two runs equal to the
 * clock's step are recognised as having no scatter.
 */
const NO_SCATTER = 1e-11;

/** A design over a choice of banked runs, factorised once for every part that shares it. */
export interface BankedDesign {
  readonly bank: RowBank;
  readonly classes: readonly RunClass[];
  /** Of the same sums as the rows below, in fewer rows where all runs are in. */
  readonly factor: Factor;
  /** Rows that `factor` was made from. */
  readonly source: readonly Float64Array[];
  /** For each row of the classes, its row of Q. */
  readonly orthogonal: readonly Float64Array[];
  /** For each row, the index of its set-up in the layout. */
  readonly groups: readonly number[];
  /** Rows that each class takes, in order. */
  readonly spans: readonly { readonly from: number; readonly to: number }[];
  /** Runs by set-up of the layout. */
  readonly counts: readonly number[];
  readonly runs: number;
  /** Runs less rank. */
  readonly rankDf: number;
  /** D by set-up: runs less leverages. */
  readonly groupDf: readonly number[];
  /** Leverage of each row. */
  readonly leverages: Float64Array;
  /** Contrasts asked for so far: every part of the stretch asks for the same. */
  readonly contrasts: Map<string, PairContrast | undefined>;
}

/** The design of some of the bank's classes. */
export function bankedDesign(bank: RowBank, classes: readonly RunClass[]): BankedDesign {
  const setups = bank.layout.setups;
  const groups: number[] = [];
  const rows: Float64Array[] = [];
  const counts = new Array<number>(setups.length).fill(0);
  const spans = classes.map((runs) => {
    const g = setups.indexOf(runs.setup);
    const from = rows.length;
    for (const row of runs.rows) {
      rows.push(row);
      groups.push(g);
    }
    addTo(counts, g, runs.count);
    return { from, to: rows.length };
  });
  const source = classes.length === bank.classes.length ? bank.rows : rows;
  const factor = factorise(transpose(source, bank.columns));
  const orthogonal = rows.map((row) => orthogonalRow(factor, row));
  const h = vectorOf(orthogonal, (row) => dot(row, row));
  const groupDf = [...counts];
  groups.forEach((g, i) => {
    addTo(groupDf, g, -entry(h, i));
  });
  const runs = counts.reduce((sum, c) => sum + c, 0);
  return {
    bank,
    classes,
    factor,
    source,
    orthogonal,
    groups,
    spans,
    counts,
    runs,
    rankDf: runs - factor.rank,
    groupDf,
    leverages: h,
    contrasts: new Map(),
  };
}

/** One part fitted over a design. */
export interface PartFit {
  readonly design: BankedDesign;
  readonly coefficients: Solution["coefficients"];
  readonly residuals: Float64Array;
  /** Residual sum of squares, s^2; exactly 0 when there is no scatter but rounding. */
  readonly rss: number;
  /** R by set-up: its part of `rss`, likewise. */
  readonly groupRss: readonly number[];
}

/**
 * Fits one part.
 *
 * @param part - 0 the whole run, 1, 2, ... the sectors
 */
export function partFit(design: BankedDesign, part: number): PartFit {
  const { bank, classes, counts } = design;
  const column = bank.columns + part;
  const { coefficients, rotated } = solve(
    design.factor,
    vectorOf(design.source, (row) => entry(row, column)),
  );
  const residuals = new Float64Array(design.groups.length);
  let at = 0;
  for (const runs of classes) {
    for (const row of runs.rows) {
      residuals[at] = entry(row, column) - dot(item(design.orthogonal, at), rotated);
      at += 1;
    }
  }
  const floor = (NO_SCATTER * bank.largest(part)) ** 2;
  const groupRss = sumsOfSquares(design, residuals).map((r, g) =>
    r <= floor * item(counts, g) ? 0 : r,
  );
  return { design, coefficients, residuals, rss: groupRss.reduce((a, r) => a + r, 0), groupRss };
}

/** A pair's contrast over a design. */
export interface PairContrast {
  readonly contrast: readonly number[];
  /** Information on the pair, sigma^2 / variance of the difference. */
  readonly z2: number;
  /** Weight of each row of the classes in the difference. */
  readonly weights: Float64Array;
  /** A by set-up. */
  readonly groupWeights: readonly number[];
}

/** @returns undefined if the design does not determine the pair */
export function pairContrast(
  design: BankedDesign,
  candidate: SetupId,
  baseline: SetupId,
): PairContrast | undefined {
  const key = `${candidate} ${baseline}`;
  if (design.contrasts.has(key)) return design.contrasts.get(key);
  const contrast = setupContrast(design.bank.layout, candidate, baseline);
  const found = contrast && contrastWeights(design.factor, contrast);
  let pair: PairContrast | undefined;
  if (contrast !== undefined && found !== undefined) {
    const { z2, direction } = found;
    const weights = vectorOf(design.orthogonal, (row) => dot(row, direction));
    pair = { contrast, z2, weights, groupWeights: sumsOfSquares(design, weights) };
  }
  design.contrasts.set(key, pair);
  return pair;
}

/** One number a row; typed arrays' own `from` is several times slower. */
function vectorOf(
  rows: readonly Float64Array[],
  value: (row: Float64Array) => number,
): Float64Array {
  const vector = new Float64Array(rows.length);
  for (let i = 0; i < rows.length; i += 1) vector[i] = value(item(rows, i));
  return vector;
}

function dot(a: Float64Array, b: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < a.length; i += 1) sum += entry(a, i) * entry(b, i);
  return sum;
}

/** Sums of squares by set-up. */
function sumsOfSquares(design: BankedDesign, values: Float64Array): number[] {
  const sums = new Array<number>(design.counts.length).fill(0);
  const { groups } = design;
  for (let i = 0; i < groups.length; i += 1) {
    addTo(sums, item(groups, i), entry(values, i) ** 2);
  }
  return sums;
}

/** The contrast's value, s. */
export function contrastValue(fit: PartFit, contrast: readonly number[]): number {
  return contrast.reduce((sum, c, j) => sum + c * item(fit.coefficients, j), 0);
}
