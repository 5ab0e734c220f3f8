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
    expect(fit?.spreadS).toBe(rider?.spread_s);
  });

  it.each([
    ["one day", session(runs())],
    ["two days", session([...runs(0), ...runs(1).slice(0, 7)])],
  ])("has means and M that give the same differences and information (%s)", (_, input) => {
    const fit = fitRider(input, "R1");
    if (fit === undefined) throw new Error("no fit");
    expect(fit.setups).toEqual(["A", "B", "C"]);
    const m = (i: number, j: number): number => fit.inverse[i]?.[j] ?? Number.NaN;
    fit.setups.forEach((candidate, i) => {
      fit.setups.forEach((baseline, j) => {
        if (i === j) return;
        const band = fit.pairBand(candidate, baseline);
        const v = m(i, i) + m(j, j) - 2 * m(i, j);
        expect(1 / v).toBeCloseTo(band.z2 ?? Number.NaN, 9);
        const difference = (fit.meansS[i] ?? Number.NaN) - (fit.meansS[j] ?? Number.NaN);
        expect(difference).toBeCloseTo(band.differenceS ?? Number.NaN, 9);
      });
    });
  });

  it("has the next run's row, so that one more run's information follows from M", () => {
    const made = runs();
    const fit = fitRider(session(made), "R1");
    const x = fit?.nextRow("C") ?? [];
    expect(fit?.nextK).toBe(ORDER.length + 1);
    const m = fit?.inverse ?? [];
    const times = (v: readonly number[]): number[] =>
      m.map((row) => row.reduce((s, a, j) => s + a * (v[j] ?? 0), 0));
    const dot = (a: readonly number[], b: readonly number[]): number =>
      a.reduce((s, v, j) => s + v * (b[j] ?? 0), 0);
    const c = [0, 1, -1, 0];
    const mx = times(x);
    const v = dot(c, times(c)) - dot(c, mx) ** 2 / (1 + dot(x, mx));
    const after = fitRider(session([...made, { setup: "C", timeS: 111 }]), "R1");
    expect(1 / v).toBeCloseTo(after?.pairBand("B", "C").z2 ?? Number.NaN, 9);
  });

  it("says what it does not know", () => {
    expect(fitRider(session([]), "R1")).toBeUndefined();
    expect(fitRider(session(runs()), "R9")).toBeUndefined();
    const one = fitRider(session(runs().slice(0, 1)), "R1");
    expect(one).toMatchObject({ setups: ["A"], spreadS: null, rankDf: 0, countedRuns: 1 });
    expect(one?.nextRow("B")).toBeUndefined();
    expect(one?.pairBand("B", "A")).toMatchObject({
      differenceS: null,
      standardErrorS: null,
      halfWidthS: Number.POSITIVE_INFINITY,
      verdict: "cannot-tell",
    });
    const two = fitRider(session(runs().slice(0, 2)), "R1");
    // A first, B second: what is drift and what is set-up nobody can tell.
    expect(two?.meansS).toEqual([null, null]);
    const warm: MadeRun[] = [...runs(), { setup: "A", timeS: 99, day: 1, status: "void" }];
    expect(fitRider(session(warm), "R1")?.nextRow("A")).toBeUndefined();
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
    expect(fit?.spreadS).toBe(rider?.spread_s);
    expect(fit?.rankDf).toBe(rider?.df);
    const difference = (fit?.meansS[1] ?? Number.NaN) - (fit?.meansS[0] ?? Number.NaN);
    expect(difference).toBeCloseTo(fit?.pairBand("B", "A").differenceS ?? Number.NaN, 9);
    expect(fit?.countedRuns).toBe(14);
  });
});
