// What the comparison answers where there is little or nothing to answer from: ties, no scatter at
// all, uneven numbers of runs, times that differ in the last digits only.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import type { Pair } from "../../src/domain/comparison.ts";
import type { DriftModel, SpreadKind } from "../../src/domain/session.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { fitRider } from "../../src/stats/rider-fit.ts";
import { ridersMean } from "../../src/stats/riders-mean.ts";
import { compareTogether } from "../../src/stats/together.ts";
import { countedRuns, type MadeRun, madeSession, normals } from "./made-session.ts";
import { mirrored, NOTHING, pairs, timesOf } from "./mirrored-day.ts";

const DRIFTS = ["none", "linear", "learning"] as const;
const SPREADS = ["common", "each"] as const;
const MODELS = DRIFTS.flatMap((drift) => SPREADS.map((spreads) => [drift, spreads] as const));

/** Every number in what is said of a session is finite, and nothing is left undefined. */
function expectSpeakable(made: Parameters<typeof madeSession>[0]): void {
  const input = madeSession(made);
  const said = { riders: compareRiders(input), together: compareTogether(input) };
  JSON.stringify(said, (key, value: unknown) => {
    if (typeof value === "number") expect(Number.isFinite(value), key).toBe(true);
    expect(value, key).not.toBeUndefined();
    return value;
  });
  const fit = fitRider(input, "R1");
  for (const value of fit?.meansS ?? []) expect(value).not.toBeNaN();
}

/** No band and no word, though the difference may be known. */
function expectNoBand(pair: Pair | undefined): void {
  expect(pair).toMatchObject({
    multiplier: null,
    band_s: null,
    inner_band_s: null,
    verdict: "cannot-tell",
    called_at_run: null,
    more_runs: null,
    chance_within_plan: null,
  });
}

describe.each(MODELS)("session drift %s, spreads %s", (drift: DriftModel, spreads: SpreadKind) => {
  const settings = { drift, spreads, plannedRuns: 12 };

  it("all times equal to the millisecond: no difference, no scatter, no verdict", () => {
    const runs = countedRuns(
      mirrored(12),
      mirrored(12).map(() => 91.347),
    );
    const [rider] = compareRiders(madeSession({ runs, settings: { ...settings, marginS: 2 } }));
    const [pair] = rider?.parts[0]?.pairs ?? [];
    expectNoBand(pair);
    expect(Math.abs(pair?.difference_s ?? Number.NaN)).toBeLessThan(1e-12);
    // With one spread an error of 0 is said as it is; with a spread each there is none to say.
    expect(pair?.standard_error_s).toBe(spreads === "common" ? 0 : null);
    expect(rider?.spread_s).toBe(0);
    expectSpeakable({ runs, settings });
  });

  it("two times only, one for each set-up: a difference without a band", () => {
    const runs = countedRuns(
      mirrored(12),
      mirrored(12).map((setup) => (setup === "A" ? 91.347 : 89.001)),
    );
    const [pair] = pairs({ runs, settings: { ...settings, marginS: 5 } });
    expectNoBand(pair);
    expect(pair?.difference_s).toBeCloseTo(-2.346, 9);
    expectSpeakable({ runs, settings });
  });

  it("one set-up without scatter: the other's scatter is all there is", () => {
    const normal = normals(8);
    const times = mirrored(12).map((setup) => (setup === "A" ? 91.3 : 89 + 0.4 * normal()));
    const runs = countedRuns(mirrored(12), times);
    const [pair] = pairs({ runs, settings });
    expect(pair?.standard_error_s).toBeGreaterThan(0);
    expect(pair?.band_s).not.toBeNull();
    expect(pair?.verdict).toBe("quicker");
    expectSpeakable({ runs, settings });
  });

  it("runs of 9999 s that differ by milliseconds: as runs of 99 s that do", () => {
    const normal = normals(12);
    const small = mirrored(12).map((setup, i) =>
      Number((99 + 0.002 * i + (setup === "B" ? -0.004 : 0) + 0.001 * normal()).toFixed(3)),
    );
    const at = (offset: number): Pair | undefined =>
      pairs({
        runs: countedRuns(
          mirrored(12),
          small.map((timeS) => Number((timeS + offset).toFixed(3))),
        ),
        settings: { ...settings, marginS: 0.02 },
      })[0];
    const [near, far] = [at(0), at(9900)];
    expect(near?.band_s).not.toBeNull();
    for (const key of ["difference_s", "standard_error_s", "df", "multiplier"] as const) {
      const wanted = near?.[key] ?? Number.NaN;
      // A time of 9999 s holds 1e-12 s: nine digits of a millisecond, eight of an error.
      expect(Math.abs((far?.[key] ?? Number.NaN) / wanted - 1), key).toBeLessThan(1e-8);
    }
    expect(far?.verdict).toBe(near?.verdict);
    expect(far?.called_at_run).toBe(near?.called_at_run);
  });

  it("a microsecond of scatter is scatter", () => {
    const times = mirrored(12).map((_, i) => 120 + (i % 5 === 0 ? 1e-6 : 0));
    const runs = countedRuns(mirrored(12), times);
    const [pair] = pairs({ runs, settings });
    expect(pair?.band_s).not.toBeNull();
    expect(pair?.standard_error_s).toBeLessThan(1e-6);
    expectSpeakable({ runs, settings });
  });

  it.each([1, 2, 3, 10])("B ridden %i times among twenty", (count) => {
    const order = Array.from({ length: 20 }, (_, i) =>
      i % Math.floor(20 / count) === 1 && i / Math.floor(20 / count) < count ? "B" : "A",
    );
    expect(order.filter((setup) => setup === "B")).toHaveLength(count);
    const runs = countedRuns(order, timesOf(order, -1, 4));
    const given = { runs, settings: { ...settings, plannedRuns: 20 } };
    const [pair] = pairs(given);
    expect(pair).toMatchObject({ runs: count, baseline_runs: 20 - count });
    expect(pair?.difference_s).not.toBeNull();
    if (count === 1) expectNoBand(pair);
    // A run alone has no spread of its own; with one spread the others' is taken for it.
    if (count === 1) expect(pair?.standard_error_s === null).toBe(spreads === "each");
    if (count === 10) expect(pair?.band_s).not.toBeNull();
    expectSpeakable(given);
  });

  it.each([0, 1, 2, 3])("%i runs in all: nothing, and no crash", (count) => {
    const order = mirrored(count);
    const [pair] = pairs({ runs: countedRuns(order, timesOf(order, -1)), settings });
    expectNoBand(pair);
    if (count < 2) expect(pair).toMatchObject(NOTHING);
    expectSpeakable({ runs: countedRuns(order, timesOf(order, -1)), settings });
  });
});

describe("ties", () => {
  it("do not disturb: rounded to the tenth, bands move by no more than the rounding", () => {
    const order = mirrored(20);
    const times = timesOf(order, -2, 5);
    const band = (round: (t: number) => number): readonly number[] =>
      pairs({
        runs: countedRuns(order, times.map(round)),
        settings: { plannedRuns: 20 },
      })[0]?.band_s ?? [];
    const [exact, rounded] = [band((t) => t), band((t) => Math.round(10 * t) / 10)];
    expect(new Set(times.map((t) => Math.round(10 * t))).size).toBeLessThan(20);
    exact.forEach((end, i) => {
      expect(Math.abs((rounded[i] ?? Number.NaN) - end)).toBeLessThan(0.1);
    });
  });

  it("in whatever number never give anything but numbers or null", () => {
    fc.assert(
      fc.property(
        fc.record({
          order: fc.array(fc.constantFrom("A", "B", "C"), { maxLength: 14 }),
          steps: fc.array(fc.integer({ min: 0, max: 2 }), { minLength: 14, maxLength: 14 }),
          step: fc.constantFrom(0, 1e-6, 1e-3, 1),
          offset: fc.constantFrom(0.5, 90, 9999),
          drift: fc.constantFrom(...DRIFTS),
          spreads: fc.constantFrom(...SPREADS),
          riders: fc.constantFrom(1, 2, 3),
        }),
        ({ order, steps, step, offset, drift, spreads, riders }) => {
          const runs = order.map(
            (setup, i): MadeRun => ({
              setup,
              rider: `R${String((i % riders) + 1)}`,
              timeS: offset + step * (steps[i] ?? 0),
            }),
          );
          expectSpeakable({
            runs,
            setups: ["A", "B", "C"],
            riders: ["R1", "R2", "R3"].slice(0, riders),
            isClosed: true,
            settings: { drift, spreads, plannedRuns: 12, marginS: 0.5 },
          });
        },
      ),
      { seed: 20_260_509, numRuns: 80 },
    );
  });
});

describe("riders who agree to the last digit", () => {
  const agreeing = [1, 2, 3].map((z2) => ({ differenceS: -1.25, varianceS2: 0.09 / z2, z2 }));

  it("are no proof: the band is as wide as what each of them knows", () => {
    const { meanS, bandS } = ridersMean(agreeing, 0.05);
    expect(meanS).toBeCloseTo(-1.25, 12);
    // By hand: t(0.025, 2) = 4.30265 over the root of the summed information, 6 / 0.09.
    expect(bandS[1] - meanS).toBeCloseTo(4.30265273 * Math.sqrt(0.09 / 6), 8);
  });

  it("say so in a whole session: three riders, the same times to the tenth, one behind the other", () => {
    const times = [91.2, 89.9, 90.1, 91.4, 91.1, 89.7, 90, 91.3];
    const riders = ["R1", "R2", "R3"];
    const runs = times.flatMap((timeS, i) =>
      riders.map((rider, r): MadeRun => {
        const setup = mirrored(8)[i] ?? "A";
        return { rider, setup, timeS: timeS + 10 * r };
      }),
    );
    const given = { runs, riders, isClosed: true, settings: { plannedRuns: 8 } };
    const own = compareRiders(madeSession(given))[0]?.parts[0]?.pairs[0];
    const [day] = compareTogether(madeSession(given))?.end_of_day ?? [];
    expect(day?.mean_s).toBeCloseTo(own?.difference_s ?? Number.NaN, 9);
    const half = ((day?.band_s[1] ?? 0) - (day?.band_s[0] ?? 0)) / 2;
    // Three riders with one error: t(0.025, 2) of it over the root of three.
    expect(half).toBeCloseTo((4.30265273 * (own?.standard_error_s ?? 0)) / Math.sqrt(3), 8);
    expectSpeakable(given);
  });
});
