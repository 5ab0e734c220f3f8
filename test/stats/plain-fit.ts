// The textbook way to every look: one QR of all rows so far, nothing kept from the look before.
// Used to hold the run-by-run replay against.
import type { Verdict } from "../../src/domain/comparison.ts";
import type { DriftModel, SpreadKind } from "../../src/domain/session.ts";
import { bandMultiplier } from "../../src/stats/band.ts";
import type { Limits } from "../../src/stats/band-in-force.ts";
import { contrastWeights, leastSquares } from "../../src/stats/least-squares.ts";

export interface PlainRun {
  readonly setup: string;
  readonly k: number;
  readonly timeS: number;
}

export interface PlainPair {
  readonly differenceS: number | null;
  readonly standardErrorS: number | null;
  readonly df: number | null;
  readonly verdict: Verdict;
}

/** One rider on one day; sums over the runs themselves, set-up by set-up. */
export function plainPair(
  runs: readonly PlainRun[],
  candidate: string,
  baseline: string,
  drift: DriftModel,
  spreads: SpreadKind,
  limits: Limits,
  marginS: number | null,
): PlainPair {
  const nothing = { differenceS: null, standardErrorS: null, df: null, verdict: "cannot-tell" };
  const setups = [...new Set(runs.map((run) => run.setup))];
  const y = runs.map((run) => run.timeS);
  const columns = [
    ...setups.map((s) => runs.map((run) => (run.setup === s ? 1 : 0))),
    ...(drift === "none" ? [] : [runs.map((run) => run.k)]),
    ...(drift === "learning" ? [runs.map((run) => Math.log(run.k))] : []),
  ];
  const fit = leastSquares(columns, y);
  const contrast = columns.map((_, j) =>
    setups[j] === candidate ? 1 : setups[j] === baseline ? -1 : 0,
  );
  const both = setups.includes(candidate) && setups.includes(baseline);
  const pair = both ? contrastWeights(fit.factor, contrast) : undefined;
  if (pair === undefined || fit.df < 1) return { ...nothing, verdict: "cannot-tell" };
  const differenceS = y.reduce((sum, v, i) => sum + v * (pair.weights[i] ?? 0), 0);
  const s2 = fit.rss / fit.df;
  let se = Math.sqrt(s2 / pair.z2);
  let df = fit.df;
  if (spreads === "each") {
    let v = 0;
    let sum = 0;
    let squares = 0;
    for (const setup of setups) {
      const own = runs.flatMap((run, i) => (run.setup === setup ? [i] : []));
      const a = own.reduce((t, i) => t + (pair.weights[i] ?? 0) ** 2, 0);
      const d = own.reduce((t, i) => t + 1 - (fit.leverages[i] ?? 0), 0);
      const r = own.reduce((t, i) => t + (fit.residuals[i] ?? 0) ** 2, 0);
      if (a < 1e-12 / pair.z2) continue;
      if (d <= 1e-9) return { differenceS, standardErrorS: null, df: null, verdict: "cannot-tell" };
      const x = (a * (2 * s2 + r)) / (2 + d);
      v += (a * r) / d;
      sum += x;
      squares += (x * x) / d;
    }
    se = Math.sqrt(v);
    df = Math.min(fit.df, (sum * sum) / squares);
  }
  const found = { differenceS, standardErrorS: se, df };
  const count = (s: string): number => runs.filter((run) => run.setup === s).length;
  if (count(candidate) < 2 || count(baseline) < 2) return { ...found, verdict: "cannot-tell" };
  const r = limits.phi / (limits.phi + pair.z2);
  const outer = bandMultiplier(df, r, limits.outerL) * se;
  const inner = bandMultiplier(df, r, limits.innerL) * se;
  if (!Number.isFinite(outer)) return { ...found, verdict: "cannot-tell" };
  if (marginS !== null && differenceS - inner > -marginS && differenceS + inner < marginS) {
    return { ...found, verdict: "no-difference" };
  }
  const verdict = differenceS + outer < 0 ? "quicker" : differenceS - outer > 0 ? "slower" : null;
  return { ...found, verdict: verdict ?? "cannot-tell" };
}
