// The whole comparison after one more run, against one QR solve of the same design by a matrix library.
import { Matrix, QrDecomposition } from "ml-matrix";
import { adviseNext } from "../../src/advisor/next-setup.ts";
import type { ComparisonInput } from "../../src/domain/comparison.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { compareTogether } from "../../src/stats/together.ts";
import { madeSession, normals } from "../stats/made-session.ts";
import { type Figure, figure } from "./figure.ts";
import { medianMs } from "./quantile.ts";

const SIZES = [
  { runs: 20, times: 15 },
  { runs: 200, times: 9 },
  { runs: 2000, times: 3 },
  { runs: 20_000, times: 1 },
] as const;
const SETUPS = ["A", "B", "C", "D"] as const;
/** Small beside the spread of 1 s, so that most pairs stay open for long. */
const EFFECT_S = [0, -0.05, 0.02, 0.05] as const;

export function compareFigures(): Promise<readonly Figure[]> {
  return Promise.resolve(
    SIZES.map(({ runs, times }) => {
      const leave = runs > 200 ? 1 : 3;
      const all = sessionOf(runs + times + leave);
      const ours = medianMs(times, leave, (i) => {
        const input = { ...all, runs: all.runs.slice(0, runs + i) };
        const riders = compareRiders(input);
        compareTogether(input);
        adviseNext(input, riders);
      });
      const solve = medianMs(times + 2, 2, solverOf({ ...all, runs: all.runs.slice(0, runs) }));
      const yardstick = { what: "one QR solve by ml-matrix", value: solve };
      return figure(`compare.ms ${String(runs)}`, ours, "ms", yardstick);
    }),
  );
}

/** One rider, two sectors, set-ups in mirrored order, a run-to-run spread of 1 s, planned to the end. */
function sessionOf(runs: number): ComparisonInput {
  const normal = normals(7);
  const order = [0, 1, 2, 3, 3, 2, 1, 0];
  return madeSession({
    setups: SETUPS,
    sectors: ["Roots", "Gully"],
    settings: { plannedRuns: runs, spreads: "each", marginS: 0.3 },
    runs: Array.from({ length: runs }, (_, i) => {
      const g = order[i % order.length] ?? 0;
      const upper = 25 + 0.7 * normal();
      const lower = 35 + 0.7 * normal() + (EFFECT_S[g] ?? 0);
      return { setup: SETUPS[g] ?? "A", timeS: upper + lower, sectorS: [upper, lower] };
    }),
  });
}

/** Level, trend and a column for each set-up but the baseline. */
function solverOf(input: ComparisonInput): () => void {
  const design = new Matrix(
    input.runs.map((run) => [
      1,
      run.k ?? 0,
      ...SETUPS.slice(1).map((s) => Number(run.setup === s)),
    ]),
  );
  const times = Matrix.columnVector(input.runs.map((run) => run.timeS ?? 0));
  return () => {
    new QrDecomposition(design).solve(times);
  };
}
