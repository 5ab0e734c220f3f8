// The two calibrated thresholds of the plan band; called by band-in-force.ts.
import { item } from "./entry.ts";

/** Rows of both tables: levels, two-sided, largest first. */
const LEVELS = [
  0.1,
  0.09,
  0.08,
  0.05,
  0.045,
  0.04,
  0.025,
  0.0225,
  0.05 / 3,
  0.0125,
  0.01,
  0.05 / 6,
  0.005,
] as const;
/** Columns of both tables: degrees of freedom at the planned end. */
const PLANNED_DF = [5, 7, 9, 11, 13, 17, 21, 27, 37, 57] as const;

/** Threshold on ln e at every look before the end of the plan. */
const BEFORE_THE_END: readonly (readonly number[])[] = [
  [0.794, 0.877, 0.904, 0.918, 0.917, 0.956, 0.982, 1.007, 1.035, 1.061],
  [0.823, 0.91, 0.943, 0.96, 0.961, 1.002, 1.029, 1.056, 1.084, 1.112],
  [0.855, 0.946, 0.985, 1.006, 1.01, 1.053, 1.082, 1.11, 1.139, 1.169],
  [0.964, 1.098, 1.155, 1.194, 1.202, 1.255, 1.292, 1.329, 1.362, 1.398],
  [0.985, 1.129, 1.193, 1.235, 1.244, 1.3, 1.34, 1.377, 1.412, 1.451],
  [1.008, 1.165, 1.235, 1.28, 1.292, 1.35, 1.393, 1.431, 1.469, 1.508],
  [1.091, 1.302, 1.395, 1.455, 1.481, 1.55, 1.603, 1.647, 1.694, 1.741],
  [1.109, 1.333, 1.429, 1.494, 1.521, 1.596, 1.65, 1.696, 1.745, 1.794],
  [1.163, 1.417, 1.526, 1.603, 1.64, 1.724, 1.783, 1.837, 1.891, 1.943],
  [1.212, 1.491, 1.616, 1.705, 1.752, 1.843, 1.912, 1.968, 2.034, 2.086],
  [1.245, 1.546, 1.684, 1.782, 1.837, 1.938, 2.012, 2.069, 2.142, 2.198],
  [1.271, 1.589, 1.74, 1.845, 1.904, 2.013, 2.09, 2.154, 2.233, 2.291],
  [1.331, 1.699, 1.885, 2.018, 2.093, 2.225, 2.313, 2.39, 2.483, 2.552],
];

/** Threshold on ln e at the last run of the plan: the last word. */
const LAST_WORD: readonly (readonly number[])[] = [
  [0.602, 0.573, 0.573, 0.578, 0.595, 0.573, 0.56, 0.546, 0.535, 0.521],
  [0.653, 0.625, 0.626, 0.632, 0.65, 0.626, 0.613, 0.599, 0.588, 0.573],
  [0.71, 0.683, 0.685, 0.691, 0.711, 0.687, 0.672, 0.66, 0.648, 0.634],
  [0.918, 0.908, 0.919, 0.927, 0.947, 0.928, 0.913, 0.9, 0.89, 0.872],
  [0.962, 0.957, 0.969, 0.979, 1.001, 0.982, 0.967, 0.955, 0.945, 0.926],
  [1.009, 1.011, 1.024, 1.037, 1.059, 1.042, 1.028, 1.016, 1.005, 0.988],
  [1.186, 1.221, 1.247, 1.266, 1.291, 1.279, 1.271, 1.261, 1.248, 1.237],
  [1.223, 1.267, 1.295, 1.314, 1.342, 1.331, 1.325, 1.315, 1.302, 1.292],
  [1.329, 1.39, 1.427, 1.458, 1.488, 1.486, 1.478, 1.47, 1.459, 1.448],
  [1.423, 1.502, 1.551, 1.591, 1.625, 1.627, 1.627, 1.615, 1.609, 1.6],
  [1.489, 1.586, 1.646, 1.69, 1.729, 1.738, 1.735, 1.725, 1.726, 1.72],
  [1.541, 1.654, 1.721, 1.769, 1.815, 1.83, 1.825, 1.816, 1.823, 1.816],
  [1.669, 1.828, 1.923, 1.989, 2.045, 2.061, 2.076, 2.074, 2.093, 2.084],
];

/** `L1`: at every look before the planned end. `LN`: at the last run of the plan. */
export type ThresholdKind = "L1" | "LN";

/** Fewest degrees of freedom at the planned end for which the plan band exists. */
export const FEWEST_PLANNED_DF = 5;

/**
 * Threshold on ln e of the plan band.
 *
 * Our own calibration, by simulation of 2,000,000 days a column (error <= 0.005 at levels from
 * 0.025 up, <= 0.015 below): the chance of ever passing L1 before the end is a fixed share of the
 * level, LN brings the whole to the level. Between the nodes bilinear in (ln level, 1/df).
 *
 * @param kind - which of the two tables
 * @param alpha - two-sided level, above 0; read as 0.10 from 0.10 up; below 0.005 the last two rows
 *   are drawn on, linear in ln alpha
 * @param nuN - degrees of freedom at the planned end, 5 or more; read as 57 from 57 up
 * @throws {RangeError} if `alpha` is not positive or `nuN` is below 5
 * @see test/reference/bands.test.ts, which checks nodes, places between them and the edges
 */
export function planThreshold(kind: ThresholdKind, alpha: number, nuN: number): number {
  if (!(alpha > 0)) throw new RangeError("planThreshold requires a level above 0");
  if (!(nuN >= FEWEST_PLANNED_DF)) {
    throw new RangeError("planThreshold requires at least 5 planned degrees of freedom");
  }
  const table = kind === "L1" ? BEFORE_THE_END : LAST_WORD;
  const lnAlpha = Math.log(Math.min(alpha, LEVELS[0]));
  // Both axes run downwards: ln level and 1/df fall along the rows and columns.
  const row = cell(LEVELS.map(Math.log), lnAlpha);
  const inverseDf = 1 / Math.min(nuN, 57);
  const column = cell(
    PLANNED_DF.map((df) => 1 / df),
    inverseDf,
  );
  const at = (r: number, c: number): number => item(item(table, r), c);
  const along = (r: number): number =>
    at(r, column.index) * (1 - column.share) + at(r, column.index + 1) * column.share;
  return along(row.index) * (1 - row.share) + along(row.index + 1) * row.share;
}

/** The cell of a falling axis that holds `x`, or the last cell when `x` lies beyond it. */
function cell(axis: readonly number[], x: number): { index: number; share: number } {
  let index = 0;
  while (index < axis.length - 2 && x < item(axis, index + 1)) index += 1;
  const from = item(axis, index);
  return { index, share: (x - from) / (item(axis, index + 1) - from) };
}
