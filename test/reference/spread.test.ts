import { describe, expect, it } from "vitest";
import type { Pair, RiderComparison } from "../../src/domain/comparison.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { contrastSums } from "../../src/stats/contrast-sums.ts";
import { blockOf } from "../../src/stats/counted-runs.ts";
import {
  columnCount,
  designRow,
  layoutOf,
  setupContrast,
  transpose,
} from "../../src/stats/design.ts";
import { contrastWeights, factorise } from "../../src/stats/least-squares.ts";
import { fitRider } from "../../src/stats/rider-fit.ts";
import { compareTogether } from "../../src/stats/together.ts";
import { madeSession } from "../stats/made-session.ts";
import { expectRel, readData } from "./cases.ts";

interface SpreadCase {
  readonly id: string;
  readonly inputs: {
    readonly setups: readonly string[];
    readonly baseline: string;
    readonly setup: string;
    readonly order: readonly string[];
    readonly k: readonly number[];
    readonly time_s: readonly number[];
    readonly rider?: readonly string[];
    readonly drift: "none" | "linear" | "learning";
    readonly planned_runs: number;
    readonly bands: "plan" | "open";
    readonly confidence: number;
    readonly z2_N: number;
    readonly nuN: number;
  };
  readonly expected: {
    readonly difference_s: number;
    readonly z2: number;
    readonly pooled_spread_s: number;
    readonly pooled_standard_error_s: number;
    readonly pooled_df: number;
    readonly standard_error_s: number;
    readonly df: number;
    readonly setups: Readonly<
      Record<string, { runs: number; weight: number; df: number; spread_s: number | null }>
    >;
    readonly phi: number;
    readonly L: number;
    readonly L_inner: number;
    readonly multiplier: number | null;
    readonly inner_multiplier: number | null;
    readonly band_s: readonly [number, number] | null;
    readonly inner_band_s: readonly [number, number] | null;
    readonly verdict: string;
  };
  readonly tolerance: { readonly rel: number };
}

const { cases } = readData("spread.json") as { cases: readonly SpreadCase[] };

/** The search for a flat minimum behind the reference leaves phi good to some 1e-7 only. */
const TUNED_PHI = 1e-7;

function session({ inputs }: SpreadCase, spreads: "each" | "common") {
  const riders = [...new Set(inputs.rider ?? ["R1"])];
  return madeSession({
    runs: inputs.order.map((setup, i) => ({
      setup,
      timeS: inputs.time_s[i] ?? Number.NaN,
      rider: inputs.rider?.[i] ?? "R1",
      k: inputs.k[i] ?? Number.NaN,
    })),
    // The pair of two candidates is asked of a session with another baseline.
    setups: inputs.setups,
    riders,
    settings: {
      spreads,
      drift: inputs.drift,
      plannedRuns: inputs.planned_runs / riders.length,
      bands: inputs.bands,
      confidence: inputs.confidence,
    },
  });
}

function expectPair(pair: Pair | undefined, { expected, tolerance }: SpreadCase): void {
  const tol = tolerance.rel;
  expectRel(pair?.difference_s ?? null, expected.difference_s, tol);
  expectRel(pair?.standard_error_s ?? null, expected.standard_error_s, tol);
  expectRel(pair?.df ?? null, expected.df, tol);
  expectRel(
    pair?.cautious_s ?? null,
    (expected.difference_s * expected.z2) / (expected.z2 + 0.5),
    tol,
  );
  if (expected.multiplier === null) expect(pair?.multiplier).toBeNull();
  else expectRel(pair?.multiplier ?? null, expected.multiplier, tol);
  for (const [actual, wanted] of [
    [pair?.band_s, expected.band_s],
    [pair?.inner_band_s, expected.inner_band_s],
  ] as const) {
    if (wanted === null) expect(actual).toBeNull();
    else for (const i of [0, 1] as const) expectRel(actual?.[i] ?? null, wanted[i], tol);
  }
}

describe("a spread for each set-up, against R", () => {
  it("has all thirteen cases", () => {
    expect(cases).toHaveLength(13);
  });

  it.each(cases.map((c) => [c.id, c] as const))("agrees on %s", (_, spreadCase) => {
    const { inputs, expected, tolerance } = spreadCase;
    const input = session(spreadCase, "each");
    const isStack = inputs.rider !== undefined;
    const isAgainstBaseline = inputs.baseline === input.setups[0]?.id;
    if (isStack) {
      const [pair] = compareTogether(input)?.pairs ?? [];
      expectPair(pair, spreadCase);
      expect(pair?.verdict).toBe(expected.verdict);
      return;
    }
    const [rider] = compareRiders(input);
    if (isAgainstBaseline) {
      const pair = rider?.parts[0]?.pairs.find((p) => p.setup === inputs.setup);
      expectPair(pair, spreadCase);
      expect(pair?.verdict).toBe(expected.verdict);
    }
    const advised = fitRider(input, "R1")?.pairBand(inputs.setup, inputs.baseline);
    expectRel(advised?.differenceS ?? null, expected.difference_s, tolerance.rel);
    expectRel(advised?.standardErrorS ?? null, expected.standard_error_s, tolerance.rel);
    expectRel(advised?.df ?? null, expected.df, tolerance.rel);
    expectRel(advised?.z2 ?? null, expected.z2, tolerance.rel);
    expectRel(
      advised?.multiplier ?? null,
      expected.multiplier ?? Number.POSITIVE_INFINITY,
      tolerance.rel,
    );
    if (expected.inner_multiplier !== null) {
      const inner = (advised?.innerHalfWidthS ?? Number.NaN) / (advised?.standardErrorS ?? 1);
      expectRel(inner, expected.inner_multiplier, tolerance.rel);
    }
    const limits = advised?.bands.at(inputs.order.length);
    expectRel(limits?.phi ?? null, expected.phi, TUNED_PHI);
    expectRel(limits?.outerL ?? null, expected.L, tolerance.rel);
    expectRel(limits?.innerL ?? null, expected.L_inner, tolerance.rel);
    expect(advised?.verdict).toBe(expected.verdict);
    expectSpreads(rider, spreadCase);
  });

  it.each(cases.map((c) => [c.id, c] as const))("agrees on %s with one spread", (_, spreadCase) => {
    const { inputs, expected, tolerance } = spreadCase;
    const input = session(spreadCase, "common");
    if (inputs.rider !== undefined) {
      const [pair] = compareTogether(input)?.pairs ?? [];
      expectRel(pair?.standard_error_s ?? null, expected.pooled_standard_error_s, tolerance.rel);
      expect(pair?.df).toBe(expected.pooled_df);
      return;
    }
    const [rider] = compareRiders(input);
    const pair = fitRider(input, "R1")?.pairBand(inputs.setup, inputs.baseline);
    expectRel(pair?.standardErrorS ?? null, expected.pooled_standard_error_s, tolerance.rel);
    expect(pair?.df).toBe(expected.pooled_df);
    expectRel(rider?.spread_s ?? null, expected.pooled_spread_s, tolerance.rel);
    expect(rider?.df).toBe(expected.pooled_df);
  });

  it.each(cases.map((c) => [c.id, c] as const))("weighs the runs of %s as R does", (_, c) => {
    const { inputs, expected, tolerance } = c;
    const rows = inputs.order.map((setup, i) => ({
      block: blockOf(inputs.rider?.[i] ?? "R1", 0),
      setup,
      k: inputs.k[i] ?? Number.NaN,
    }));
    const layout = layoutOf(rows, inputs.setups, inputs.drift);
    const factor = factorise(
      transpose(
        rows.map((row) => designRow(layout, row)),
        columnCount(layout),
      ),
    );
    const pair = contrastWeights(
      factor,
      setupContrast(layout, inputs.setup, inputs.baseline) ?? [],
    );
    if (pair === undefined) throw new Error("not determined");
    const groups = rows.map((row) => layout.setups.indexOf(row.setup));
    const sums = contrastSums(factor, pair, groups, layout.setups.length);
    layout.setups.forEach((setup, g) => {
      const wanted = expected.setups[setup];
      expect(Math.abs((sums.groups[g]?.weight ?? 1) - (wanted?.weight ?? 0))).toBeLessThan(1e-12);
      expect(Math.abs((sums.groups[g]?.df ?? 1) - (wanted?.df ?? 0))).toBeLessThan(1e-12);
    });
    expectRel(
      sums.groups.reduce((sum, group) => sum + group.weight, 0),
      1 / expected.z2,
      tolerance.rel,
    );
  });
});

function expectSpreads(
  rider: RiderComparison | undefined,
  { expected, tolerance }: SpreadCase,
): void {
  for (const [setup, wanted] of Object.entries(expected.setups)) {
    const spread = rider?.setup_spreads.find((s) => s.setup === setup);
    expect(spread?.runs).toBe(wanted.runs);
    if (wanted.spread_s === null) {
      expect(spread?.df).toBeNull();
      expect(spread?.spread_s).toBeNull();
    } else {
      expectRel(spread?.df ?? null, wanted.df, tolerance.rel);
      expectRel(spread?.spread_s ?? null, wanted.spread_s, tolerance.rel);
    }
  }
}
