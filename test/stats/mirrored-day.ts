// Orders, times and rows that the tests of the comparison share.
import type { Pair } from "../../src/domain/comparison.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { type MadeSession, madeSession, normals } from "./made-session.ts";

const ABBA = ["A", "B", "B", "A"];
export const mirrored = (n: number): string[] =>
  Array.from({ length: n }, (_, i) => ABBA[i % 4] ?? "A");

export function timesOf(order: readonly string[], effectS: number, seed = 1): number[] {
  const normal = normals(seed);
  return order.map((s, i) => 120 + 0.05 * i + (s === "A" ? 0 : effectS) + normal());
}

export function pairs(made: MadeSession, part = 0): readonly Pair[] {
  return compareRiders(madeSession(made))[0]?.parts[part]?.pairs ?? [];
}

export const NOTHING = {
  difference_s: null,
  standard_error_s: null,
  df: null,
  multiplier: null,
  band_s: null,
  inner_band_s: null,
  cautious_s: null,
  verdict: "cannot-tell",
  called_at_run: null,
  more_runs: null,
  chance_within_plan: null,
};
