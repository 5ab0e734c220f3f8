// What a rider's runs determine, and what one more would: the design alone, without times; called
// by suggestion-rule.ts and next-setup.ts.
import type { DriftModel, SetupId } from "../domain/session.ts";
import { equalSpreadDf } from "../stats/contrast-sums.ts";
import {
  columnCount,
  type DesignRow,
  designRow,
  type Layout,
  layoutOf,
  setupContrast,
  transpose,
} from "../stats/design.ts";
import { contrastWeights, type Factor, factorise, leverages } from "../stats/least-squares.ts";

type Rows = readonly ArrayLike<number>[];

/** The runs of one set-up, pressed into rows that carry the same sums of products. */
interface SetupRows {
  readonly runs: number;
  readonly rows: Rows;
}

/** A design that grows by a run at a time, at a cost that does not depend on the runs before. */
export interface RiddenDesign {
  readonly layout: Layout;
  readonly runs: number;
  /** Of all runs; only its triangle and rank are used. */
  readonly factor: Factor;
  /** One a set-up of the layout. */
  readonly bySetup: readonly SetupRows[];
}

/** What a design says about a pair. */
export interface PairInformation {
  /** 1 / v: sigma^2 over the variance of the difference; 0 if it is not determined. */
  readonly z2: number;
  /** Runs less rank. */
  readonly rankDf: number;
}

/**
 * The design of runs ridden.
 *
 * @param rows - the runs; every block must be there that a later row names
 * @param setups - every set-up that may still be ridden
 * @param next - the next run's place: gives its block a level and drift of its own
 */
export function riddenDesign(
  rows: readonly DesignRow[],
  setups: readonly SetupId[],
  drift: DriftModel,
  next: Omit<DesignRow, "setup">,
): RiddenDesign {
  const ahead = setups.map((setup) => ({ ...next, setup }));
  const layout = layoutOf([...rows, ...ahead], setups, drift);
  const columns = columnCount(layout);
  const bySetup = layout.setups.map((setup) => {
    const own = rows.filter((row) => row.setup === setup);
    return {
      runs: own.length,
      rows: pressed(
        own.map((row) => designRow(layout, row)),
        columns,
      ),
    };
  });
  const all = bySetup.flatMap((own) => own.rows);
  return { layout, runs: rows.length, factor: factorise(transpose(all, columns)), bySetup };
}

/** The design after one more run. */
export function withRun(design: RiddenDesign, run: DesignRow): RiddenDesign {
  const { layout, factor } = design;
  const columns = columnCount(layout);
  const row = designRow(layout, run);
  const g = layout.setups.indexOf(run.setup);
  return {
    layout,
    runs: design.runs + 1,
    factor: factorise(transpose([...triangleRows(factor), row], columns)),
    bySetup: design.bySetup.map((own, i) => {
      if (i !== g) return own;
      const rows = [...own.rows, row];
      return {
        runs: own.runs + 1,
        rows: rows.length > 3 * columns ? pressed(rows, columns) : rows,
      };
    }),
  };
}

/** Information on the difference of two set-ups. */
export function pairInformation(
  design: RiddenDesign,
  candidate: SetupId,
  baseline: SetupId,
): PairInformation {
  const contrast = setupContrast(design.layout, candidate, baseline);
  const weights = contrast && contrastWeights(design.factor, contrast);
  return { z2: weights?.z2 ?? 0, rankDf: design.runs - design.factor.rank };
}

/**
 * Degrees of freedom of the pair with a spread for each set-up, were all spreads equal.
 *
 * @returns undefined if the pair is not determined or a set-up of it has no degrees of freedom
 */
export function equalDfOf(
  design: RiddenDesign,
  candidate: SetupId,
  baseline: SetupId,
): number | undefined {
  const { layout, bySetup } = design;
  const rows = bySetup.flatMap((own) => own.rows);
  const factor = factorise(transpose(rows, columnCount(layout)));
  const contrast = setupContrast(layout, candidate, baseline);
  const weights = contrast && contrastWeights(factor, contrast);
  if (weights === undefined) return undefined;
  const h = leverages(factor);
  let at = 0;
  const groups = bySetup.map((own) => {
    const sums = { weight: 0, df: own.runs };
    for (let i = 0; i < own.rows.length; i += 1, at += 1) {
      sums.weight += (weights.weights[at] ?? 0) ** 2;
      sums.df -= h[at] ?? 0;
    }
    return sums;
  });
  return equalSpreadDf(groups, weights.z2);
}

/** As many rows as columns at most, with the same sums of products over any two columns. */
function pressed(rows: Rows, columns: number): Rows {
  return rows.length <= columns ? rows : triangleRows(factorise(transpose(rows, columns)));
}

/** The rows of a factor's triangle. */
function triangleRows(factor: Factor): Rows {
  const rows = Array.from({ length: factor.rank }, () => new Float64Array(factor.columns));
  let reached = 0;
  factor.triangle.forEach((column, j) => {
    if (factor.kept[reached] === j) reached += 1;
    for (let i = 0; i < reached; i += 1) {
      const row = rows[i];
      if (row !== undefined) row[j] = column[i] ?? 0;
    }
  });
  return rows;
}
