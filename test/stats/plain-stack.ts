// The textbook way to riders together: normal equations of all runs, inverted by elimination, and
// sums over the runs themselves. Shares nothing with the fits that it is held against.

export interface StackRun {
  /** What has a level and a slope of its own. */
  readonly block: string;
  readonly setup: string;
  readonly k: number;
  /** Steps of the ground in its block before it: a column from each one on. */
  readonly ground?: number;
  readonly timeS: number;
}

export interface StackPair {
  readonly differenceS: number;
  readonly z2: number;
  readonly rankDf: number;
  readonly pooled: { readonly errorS: number };
  /** With a spread for each set-up: Welch's error, Satterthwaite's degrees of freedom. */
  readonly each: { readonly errorS: number; readonly df: number };
}

/** A design of full rank: level, slope and steps for each block, set-ups common to all. */
export function stackedPair(
  runs: readonly StackRun[],
  candidate: string,
  baseline: string,
): StackPair {
  const blocks = [...new Set(runs.map((run) => run.block))];
  const others = [...new Set(runs.map((run) => run.setup))].filter((setup) => setup !== baseline);
  // Slopes about the middle of the runs: the equations stay well away from singular.
  const middle = runs.reduce((sum, run) => sum + run.k, 0) / runs.length;
  const ground = (run: StackRun): number => run.ground ?? 0;
  const steps = blocks.flatMap((block) => {
    const own = runs.filter((run) => run.block === block).map(ground);
    return [...new Set(own)].filter((g) => g > Math.min(...own)).map((from) => ({ block, from }));
  });
  const x = runs.map((run) => [
    ...blocks.flatMap((block) => (run.block === block ? [1, run.k - middle] : [0, 0])),
    ...steps.map(({ block, from }) => Number(run.block === block && ground(run) >= from)),
    ...others.map((setup) => Number(run.setup === setup)),
  ]);
  const columns = 2 * blocks.length + steps.length + others.length;
  const cell = (i: number, j: number): number => x[i]?.[j] ?? Number.NaN;
  const sum = (value: (i: number) => number): number =>
    runs.reduce((total, _, i) => total + value(i), 0);
  const all = Array.from({ length: columns }, (_, j) => j);
  const m = inverse(all.map((j) => all.map((l) => sum((i) => cell(i, j) * cell(i, l)))));
  const at = (j: number, l: number): number => m[j]?.[l] ?? Number.NaN;
  const moments = all.map((j) => sum((i) => cell(i, j) * (runs[i]?.timeS ?? Number.NaN)));
  const beta = all.map((j) => dot(all, (l) => at(j, l) * (moments[l] ?? Number.NaN)));
  const c = 2 * blocks.length + steps.length + others.indexOf(candidate);
  const weight = runs.map((_, i) => dot(all, (j) => cell(i, j) * at(j, c)));
  const leverage = runs.map((_, i) =>
    dot(all, (j) => cell(i, j) * dot(all, (l) => at(j, l) * cell(i, l))),
  );
  const residual = runs.map(
    (run, i) => run.timeS - dot(all, (j) => cell(i, j) * (beta[j] ?? Number.NaN)),
  );
  const rankDf = runs.length - columns;
  const s2 = residual.reduce((total, e) => total + e * e, 0) / rankDf;
  let variance = 0;
  let upper = 0;
  let lower = 0;
  for (const setup of [baseline, ...others]) {
    const of = (values: readonly number[]): number =>
      sum((i) => (runs[i]?.setup === setup ? (values[i] ?? Number.NaN) : 0));
    const a = of(weight.map((w) => w * w));
    const d = of(leverage.map((h) => 1 - h));
    const r = of(residual.map((e) => e * e));
    if (a < 1e-12 * at(c, c)) continue;
    const steadied = (a * (2 * s2 + r)) / (2 + d);
    variance += (a * r) / d;
    upper += steadied;
    lower += (steadied * steadied) / d;
  }
  return {
    differenceS: beta[c] ?? Number.NaN,
    z2: 1 / at(c, c),
    rankDf,
    pooled: { errorS: Math.sqrt(s2 * at(c, c)) },
    each: { errorS: Math.sqrt(variance), df: Math.min(rankDf, (upper * upper) / lower) },
  };
}

function dot(indices: readonly number[], value: (j: number) => number): number {
  return indices.reduce((total, j) => total + value(j), 0);
}

/** Gauss-Jordan with the largest pivot of the column. */
function inverse(matrix: readonly (readonly number[])[]): readonly (readonly number[])[] {
  const n = matrix.length;
  const rows = matrix.map((row, i) => [...row, ...row.map((_, j) => Number(i === j))]);
  for (let j = 0; j < n; j += 1) {
    const candidates = rows.slice(j).map((row) => Math.abs(row[j] ?? 0));
    const p = j + candidates.indexOf(Math.max(...candidates));
    const pivotRow = rows[p] ?? [];
    rows[p] = rows[j] ?? [];
    const pivot = pivotRow[j] ?? 0;
    if (Math.abs(pivot) < 1e-9) throw new RangeError("stackedPair requires a design of full rank");
    const scaled = pivotRow.map((value) => value / pivot);
    rows.forEach((row, i) => {
      const factor = row[j] ?? 0;
      rows[i] = i === j ? scaled : row.map((value, l) => value - factor * (scaled[l] ?? 0));
    });
    rows[j] = scaled;
  }
  return rows.map((row) => row.slice(n));
}
