// The rows and columns of the model, and the figures of a plan that follow from them; called by
// every fit of the statistics and by the advisor.
import type { DriftModel, SetupId } from "../domain/session.ts";
import { type ContrastSums, contrastSums, equalSpreadDf } from "./contrast-sums.ts";
import { addTo, item } from "./entry.ts";
import { contrastWeights, type Factor, factorise } from "./least-squares.ts";

/** One run as the design sees it. */
export interface DesignRow {
  /** What has a level and a session drift of its own: a rider on a day. */
  readonly block: string;
  readonly setup: SetupId;
  /** 1, 2, ...: counts every ridden run of the block from the first that is no warm-up. */
  readonly k: number;
  /** Steps of the ground that were marked on the day before the run started; none where left out. */
  readonly ground?: number;
}

/** A block with what its columns are made of. */
interface LayoutBlock {
  readonly block: string;
  /** Mean of k, and of ln k. */
  readonly k: number;
  readonly lnK: number;
  /** Grounds that occur, rising, without the lowest, which the level stands for. */
  readonly steps: readonly number[];
  /** Index of the level; the drift terms and the steps follow it. */
  readonly column: number;
}

/**
 * The columns of a design: for each block a level, the drift terms and a column for each step of the
 * ground (1 from there on), then a column for each set-up but the reference. Set-ups come last, so
 * that one that the others explain away is the column that gives way.
 */
export interface Layout {
  readonly drift: DriftModel;
  readonly blocks: readonly LayoutBlock[];
  /** Set-ups in the design; the first is the reference and has no column. */
  readonly setups: readonly SetupId[];
}

/** Columns of session drift in a block: k, and ln k for `learning`. */
export function driftTerms(drift: DriftModel): number {
  return drift === "none" ? 0 : drift === "linear" ? 1 : 2;
}

/**
 * Columns for the rows given: only blocks and set-ups that occur, k centred in each block.
 *
 * @param setups - order of the set-up columns; the first that occurs is the reference
 */
export function layoutOf(
  rows: readonly DesignRow[],
  setups: readonly SetupId[],
  drift: DriftModel,
): Layout {
  const sums = new Map<string, { n: number; k: number; lnK: number; grounds: Set<number> }>();
  const ridden = new Set<SetupId>();
  for (const row of rows) {
    ridden.add(row.setup);
    const sum = sums.get(row.block) ?? { n: 0, k: 0, lnK: 0, grounds: new Set<number>() };
    sum.n += 1;
    sum.k += row.k;
    sum.lnK += Math.log(row.k);
    sum.grounds.add(row.ground ?? 0);
    sums.set(row.block, sum);
  }
  let column = 0;
  const blocks = [...sums].map(([block, s]): LayoutBlock => {
    const steps = [...s.grounds].sort((a, b) => a - b).slice(1);
    const made = { block, k: s.k / s.n, lnK: s.lnK / s.n, steps, column };
    column += 1 + driftTerms(drift) + steps.length;
    return made;
  });
  return { drift, blocks, setups: setups.filter((s) => ridden.has(s)) };
}

/** Number of columns. */
export function columnCount(layout: Layout): number {
  return levelColumns(layout) + Math.max(0, layout.setups.length - 1);
}

/** Columns of all blocks: what stands before the set-ups. */
function levelColumns({ drift, blocks }: Layout): number {
  const last = blocks.at(-1);
  return last === undefined ? 0 : last.column + 1 + driftTerms(drift) + last.steps.length;
}

/** Index of a block's level; its drift terms follow it. */
export function blockColumn(layout: Layout, block: number): number {
  return item(layout.blocks, block).column;
}

/** Indices of the columns of a block's steps of the ground, in order. */
export function stepColumns(layout: Layout, block: number): readonly number[] {
  const { column, steps } = item(layout.blocks, block);
  return steps.map((_, i) => column + 1 + driftTerms(layout.drift) + i);
}

/**
 * One row of the design.
 *
 * @throws {RangeError} if the row's block or set-up is not in the layout
 */
export function designRow(layout: Layout, row: DesignRow): number[] {
  const x = new Array<number>(columnCount(layout)).fill(0);
  const block = layout.blocks.find((b) => b.block === row.block);
  const setup = layout.setups.indexOf(row.setup);
  if (block === undefined || setup < 0) {
    throw new RangeError("designRow requires a block and a set-up of the layout");
  }
  const first = block.column;
  x[first] = 1;
  if (layout.drift !== "none") x[first + 1] = row.k - block.k;
  if (layout.drift === "learning") x[first + 2] = Math.log(row.k) - block.lnK;
  const firstStep = first + 1 + driftTerms(layout.drift);
  block.steps.forEach((from, i) => {
    if ((row.ground ?? 0) >= from) x[firstStep + i] = 1;
  });
  if (setup > 0) x[setupColumn(layout, setup)] = 1;
  return x;
}

/**
 * The contrast candidate minus baseline over the layout's columns.
 *
 * @returns undefined if either set-up is not in the layout
 */
export function setupContrast(
  layout: Layout,
  candidate: SetupId,
  baseline: SetupId,
): readonly number[] | undefined {
  const plus = layout.setups.indexOf(candidate);
  const minus = layout.setups.indexOf(baseline);
  if (plus < 0 || minus < 0) return undefined;
  const c = new Array<number>(columnCount(layout)).fill(0);
  if (plus > 0) c[setupColumn(layout, plus)] = 1;
  if (minus > 0) addTo(c, setupColumn(layout, minus), -1);
  return c;
}

/** Index of the column of a set-up of the layout; not for the reference, index 0. */
export function setupColumn(layout: Layout, setup: number): number {
  return levelColumns(layout) + setup - 1;
}

/** Rows of numbers as columns. */
export function transpose(rows: readonly ArrayLike<number>[], columns: number): Float64Array[] {
  return Array.from({ length: columns }, (_, j) => {
    const column = new Float64Array(rows.length);
    for (let i = 0; i < rows.length; i += 1) column[i] = rows[i]?.[j] ?? 0;
    return column;
  });
}

/** The design of the rows given, factorised. */
export function designFactor(layout: Layout, rows: readonly DesignRow[]): Factor {
  const columns = transpose(
    rows.map((row) => designRow(layout, row)),
    columnCount(layout),
  );
  return factorise(columns, rows.length);
}

/**
 * The order that a plan is reckoned with: declared order with the baseline first, mirrored and
 * repeated (ABBA ABBA ..., ABC CBA ABC ...), cut at n. What is ridden may differ.
 *
 * @param setups - baseline first
 * @param n - runs
 * @param reversed - starts with the last set-up (BAAB ...): every second rider of a stack
 */
export function planningOrder(
  setups: readonly SetupId[],
  n: number,
  reversed = false,
): readonly SetupId[] {
  const there = reversed ? setups.toReversed() : setups;
  const cycle = [...there, ...there.toReversed()];
  return Array.from(
    { length: cycle.length === 0 ? 0 : n },
    (_, i) => cycle[i % cycle.length] ?? "",
  );
}

/**
 * The planning orders of a plan that days share: as many runs on each, the first days taking what is
 * left over, and every day from the start of the order.
 *
 * @param n - runs of all days together
 * @param days - 1 or more
 * @returns one order a day; days without a run are left out
 */
export function planningOrders(
  setups: readonly SetupId[],
  n: number,
  days: number,
  reversed = false,
): readonly (readonly SetupId[])[] {
  return Array.from({ length: days }, (_, day) =>
    planningOrder(setups, Math.floor(n / days) + (day < n % days ? 1 : 0), reversed),
  ).filter((order) => order.length > 0);
}

/** Set-ups with the baseline first, the others in declared order. */
export function baselineFirst(setups: readonly SetupId[], baseline: SetupId): readonly SetupId[] {
  return setups.includes(baseline) ? [baseline, ...setups.filter((s) => s !== baseline)] : setups;
}

/** What a plan promises about one pair. */
export interface PlannedPair {
  /** z2_N: information on the difference at the planned end, sigma^2 / variance. */
  readonly z2N: number;
  /** Degrees of freedom of the pair there with a spread for each set-up, were all spreads equal. */
  readonly df: number;
}

/** What a plan promises. */
export interface PlannedFigures {
  /** N: counted runs, all riders of the stack together. */
  readonly runs: number;
  /** N less levels, drift terms (as many as a day's runs can tell) and set-ups - 1; may be below 1. */
  readonly nuN: number;
  /** Undefined for a pair that the plan does not determine. */
  readonly pair: (candidate: SetupId, baseline: SetupId) => PlannedPair | undefined;
}

/**
 * Figures of a plan, from its planning orders alone: k = 1, 2, ... in each.
 *
 * @param setups - set-ups declared before run 1
 * @param orders - one planning order for each rider on each day; a single one for a rider's own plan
 *   of a day
 * @example
 * plannedFigures(["A", "B"], [planningOrder(["A", "B"], 12)], "linear").pair("B", "A")?.z2N // 3
 */
export function plannedFigures(
  setups: readonly SetupId[],
  orders: readonly (readonly SetupId[])[],
  drift: DriftModel,
): PlannedFigures {
  const rows = orders.flatMap((order, block) =>
    order.map((setup, i) => ({ block: String(block), setup, k: i + 1 })),
  );
  const layout = layoutOf(rows, setups, drift);
  const factor = designFactor(layout, rows);
  const groups = rows.map((row) => layout.setups.indexOf(row.setup));
  const terms = 1 + driftTerms(drift);
  const levels = orders.reduce((sum, order) => sum + Math.min(terms, Math.max(1, order.length)), 0);
  return {
    runs: rows.length,
    nuN: rows.length - levels - Math.max(0, setups.length - 1),
    pair: (candidate, baseline) => {
      const contrast = setupContrast(layout, candidate, baseline);
      if (contrast === undefined || candidate === baseline) return undefined;
      const sums = plannedSums(factor, contrast, groups, layout.setups.length);
      if (sums === undefined) return undefined;
      return { z2N: sums.z2, df: equalSpreadDf(sums.groups, sums.z2) ?? 0 };
    },
  };
}

function plannedSums(
  factor: Factor,
  contrast: readonly number[],
  groups: readonly number[],
  count: number,
): ContrastSums | undefined {
  const weights = contrastWeights(factor, contrast);
  return weights && contrastSums(factor, weights, groups, count);
}
