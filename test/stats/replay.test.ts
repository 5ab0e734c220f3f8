import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { compareRiders } from "../../src/stats/compare.ts";
import { fitRider } from "../../src/stats/rider-fit.ts";
import { countedRuns, type MadeRun, madeSession, normals } from "./made-session.ts";
import { plainPair } from "./plain-fit.ts";

const SEED = 20_260_509;

/** A session with voids and lumps, so that k has holes and orders are anything. */
const sessions = fc.record({
  setups: fc.constantFrom(["A", "B"], ["A", "B", "C"], ["A", "B", "C", "D"]),
  n: fc.integer({ min: 1, max: 26 }),
  seed: fc.nat(),
  effectS: fc.constantFrom(0, 1, 3),
  drift: fc.constantFrom("none" as const, "linear" as const, "learning" as const),
  spreads: fc.constantFrom("each" as const, "common" as const),
  bands: fc.constantFrom("plan" as const, "open" as const),
  marginS: fc.constantFrom(null, 2.5),
});

function sessionOf(s: typeof sessions extends fc.Arbitrary<infer T> ? T : never) {
  const normal = normals(s.seed);
  const runs = Array.from({ length: s.n }, (_, i): MadeRun => {
    const order = [...s.setups, ...s.setups.toReversed()];
    const wanders = normal() > 0.8;
    const at = wanders ? Math.floor(Math.abs(normal()) * 7) : i;
    const setup = order[at % order.length] ?? "A";
    const status = normal() > 1.5 ? "void" : "ok";
    return { setup, status, timeS: 120 + (setup === "A" ? 0 : -s.effectS) + normal() };
  });
  const { drift, spreads, bands, marginS } = s;
  const settings = { plannedRuns: 18, drift, spreads, bands, marginS };
  return madeSession({ runs, setups: s.setups, settings });
}

describe("the run-by-run replay", () => {
  it("says at every look what one fit of all rows so far says", () => {
    let looks = 0;
    let calls = 0;
    fc.assert(
      fc.property(sessions, (s) => {
        const input = sessionOf(s);
        const counted = input.runs.flatMap(({ status, setup, k, timeS }) =>
          status === "ok" ? [{ setup, k: k ?? 0, timeS: timeS ?? 0 }] : [],
        );
        const fit = fitRider(input, "R1");
        const [rider] = compareRiders(input);
        for (const pair of rider?.parts[0]?.pairs ?? []) {
          const bands = fit?.pairBand(pair.setup, "A").bands;
          if (bands === undefined) continue;
          const plain = counted.map((_, i) =>
            plainPair(
              counted.slice(0, i + 1),
              pair.setup,
              "A",
              s.drift,
              s.spreads,
              bands.at(i + 1),
              s.marginS,
            ),
          );
          const first = plain.findIndex((look) => look.verdict !== "cannot-tell");
          looks += plain.length;
          calls += first < 0 ? 0 : 1;
          expect(pair.called_at_run).toBe(first < 0 ? null : first + 1);
          const last = plain.at(-1);
          expect(pair.verdict).toBe(last?.verdict);
          for (const [found, wanted] of [
            [pair.difference_s, last?.differenceS],
            [pair.standard_error_s, last?.standardErrorS],
            [pair.df, last?.df],
          ] as const) {
            if (wanted == null) expect(found).toBeNull();
            else expect(Math.abs((found ?? Number.NaN) - wanted)).toBeLessThan(1e-9);
          }
        }
      }),
      { seed: SEED, numRuns: 300 },
    );
    expect(looks).toBeGreaterThan(3000);
    expect(calls).toBeGreaterThan(100);
  });

  it("says at a look what the session cut there says", () => {
    const normal = normals(5);
    const order = ["A", "B", "B", "A", "A", "B", "B", "A", "A", "B", "B", "A", "A", "B", "A", "B"];
    const times = order.map((s) => 95 + (s === "B" ? -1.4 : 0) + normal());
    const whole = compareRiders(madeSession({ runs: countedRuns(order, times) }));
    const firstOfCuts = order.findIndex((_, i) => {
      const cut = madeSession({ runs: countedRuns(order.slice(0, i + 1), times) });
      return compareRiders(cut)[0]?.parts[0]?.pairs[0]?.verdict !== "cannot-tell";
    });
    expect(firstOfCuts).toBeGreaterThan(0);
    expect(whole[0]?.parts[0]?.pairs[0]?.called_at_run).toBe(firstOfCuts + 1);
  });

  it("keeps every digit over 20 000 runs, and its time", () => {
    const normal = normals(11);
    const setups = ["A", "B", "C", "D"];
    const runs = Array.from({ length: 20_000 }, (_, i): MadeRun => {
      const setup = setups[Math.floor(Math.abs(normal()) * 50) % 4] ?? "A";
      return { setup, timeS: 130 + 0.0001 * i + normal() };
    });
    const input = madeSession({ runs, setups, settings: { plannedRuns: 20_000, spreads: "each" } });
    const [rider] = compareRiders(input);
    const fit = fitRider(input, "R1");
    const counted = input.runs.map(({ setup, k, timeS }) => ({
      setup,
      k: k ?? 0,
      timeS: timeS ?? 0,
    }));
    for (const pair of rider?.parts[0]?.pairs ?? []) {
      const bands = fit?.pairBand(pair.setup, "A").bands;
      if (bands === undefined) throw new Error("no bands");
      const limits = bands.at(20_000);
      const plain = plainPair(counted, pair.setup, "A", "linear", "each", limits, null);
      expect(pair.difference_s).toBeCloseTo(plain.differenceS ?? Number.NaN, 8);
      expect(pair.standard_error_s).toBeCloseTo(plain.standardErrorS ?? Number.NaN, 11);
      expect(Math.abs((pair.df ?? 0) / (plain.df ?? 1) - 1)).toBeLessThan(1e-10);
    }
  });
});
