import { describe, expect, it } from "vitest";
import { compareRiders } from "../../src/stats/compare.ts";
import { fitRider } from "../../src/stats/rider-fit.ts";
import { type MadeRun, madeSession, normals } from "./made-session.ts";

const ORDER = ["A", "B", "C", "C", "B", "A", "A", "B", "C", "C", "B", "A", "A", "B"];

function runs(day = 0): MadeRun[] {
  const normal = normals(40 + day);
  const effects: Readonly<Record<string, number>> = { A: 0, B: -1, C: 2 };
  return ORDER.map((setup, i) => ({
    setup,
    day,
    timeS: 110 + 20 * day + 0.1 * i + (effects[setup] ?? 0) + 0.3 * normal(),
  }));
}

const session = (made: readonly MadeRun[]) =>
  madeSession({ runs: made, setups: ["A", "B", "C"], settings: { plannedRuns: 18 } });

describe("a rider's fit for the advisor", () => {
  it("has the pairs of the comparison, and those between candidates", () => {
    const input = session(runs());
    const fit = fitRider(input, "R1");
    const [rider] = compareRiders(input);
    for (const pair of rider?.parts[0]?.pairs ?? []) {
      const band = fit?.pairBand(pair.setup, "A");
      expect(band?.differenceS).toBe(pair.difference_s);
      expect(band?.standardErrorS).toBe(pair.standard_error_s);
      expect(band?.verdict).toBe(pair.verdict);
      expect(band?.halfWidthS).toBeCloseTo(
        (pair.multiplier ?? Number.NaN) * (pair.standard_error_s ?? Number.NaN),
        12,
      );
    }
    const bc = fit?.pairBand("C", "B");
    const cb = fit?.pairBand("B", "C");
    expect(bc?.verdict).toBe("slower");
    expect(cb?.verdict).toBe("quicker");
    expect(cb?.differenceS).toBeCloseTo(-(bc?.differenceS ?? Number.NaN), 9);
    expect(fit?.rankDf).toBe(rider?.df);
  });

  it.each([
    ["one day", session(runs())],
    ["two days", session([...runs(0), ...runs(1).slice(0, 7)])],
  ])("has means that give the same differences (%s)", (_, input) => {
    const fit = fitRider(input, "R1");
    if (fit === undefined) throw new Error("no fit");
    expect(fit.setups).toEqual(["A", "B", "C"]);
    fit.setups.forEach((candidate, i) => {
      fit.setups.forEach((baseline, j) => {
        if (i === j) return;
        const band = fit.pairBand(candidate, baseline);
        const difference = (fit.meansS[i] ?? Number.NaN) - (fit.meansS[j] ?? Number.NaN);
        expect(difference).toBeCloseTo(band.differenceS ?? Number.NaN, 9);
      });
    });
  });

  it("says what it does not know", () => {
    expect(fitRider(session([]), "R1")).toBeUndefined();
    expect(fitRider(session(runs()), "R9")).toBeUndefined();
    const one = fitRider(session(runs().slice(0, 1)), "R1");
    expect(one).toMatchObject({ setups: ["A"], rankDf: 0, runs: [1] });
    expect(one?.pairBand("B", "A")).toMatchObject({
      differenceS: null,
      standardErrorS: null,
      halfWidthS: Number.POSITIVE_INFINITY,
      verdict: "cannot-tell",
    });
    const two = fitRider(session(runs().slice(0, 2)), "R1");
    // A first, B second: what is drift and what is set-up nobody can tell.
    expect(two?.meansS).toEqual([null, null]);
  });

  it("adds up struck-out sectors", () => {
    const struck = runs().map((run, i): MadeRun => {
      const sectorS = [50 + ((i * 3) % 7) / 5, 0];
      sectorS[1] = (run.timeS ?? 0) - (sectorS[0] ?? 0);
      return i === 5
        ? { ...run, sectorS: [sectorS[0] ?? 0, 99], timeS: 149, voidSectors: [2] }
        : { ...run, sectorS };
    });
    const input = madeSession({
      runs: struck,
      setups: ["A", "B", "C"],
      sectors: ["Roots", "Gully"],
      settings: { plannedRuns: 18 },
    });
    const fit = fitRider(input, "R1");
    const [rider] = compareRiders(input);
    expect(fit?.rankDf).toBe(rider?.df);
    const difference = (fit?.meansS[1] ?? Number.NaN) - (fit?.meansS[0] ?? Number.NaN);
    expect(difference).toBeCloseTo(fit?.pairBand("B", "A").differenceS ?? Number.NaN, 9);
    expect(fit?.runs).toEqual([5, 5, 4]);
  });
});
