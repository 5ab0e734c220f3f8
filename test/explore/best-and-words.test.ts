// The best values, the gain over the present ones, and the sentences that say so.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { normals } from "../../src/calibrate/normal.ts";
import type { TriedRun } from "../../src/domain/exploration.ts";
import type { ExploredSetting } from "../../src/domain/explored.ts";
import { seededRandom } from "../../src/domain/seeded.ts";
import { bestValues } from "../../src/explore/best-values.ts";
import { fitCurve, fittedTime } from "../../src/explore/curve-fit.ts";
import { explore } from "../../src/explore/explore.ts";
import { HELP } from "../../src/explore/help.ts";
import { scaleOf } from "../../src/explore/scale.ts";
import { codedAt, exploring, PRESSURE, REBOUND, runsAt } from "./explored.ts";

const VALUES = [1.35, 1.6, 1.85, 1.85, 1.6, 1.35, 1.45, 1.75, 1.75, 1.45, 1.5, 1.7, 1.7, 1.5];
/** Seconds that fourteen runs are off by. */
const OFF = ((normal) => VALUES.map(() => 0.15 * normal()))(normals(seededRandom(9)));

/** Fourteen runs with so much scatter round a truth. */
function said(truth: (pressure: number) => number, scatter = 1, present = 1.55) {
  const times = VALUES.map((value, i) => 95 + truth(value) + scatter * (OFF[i] ?? 0));
  return explore(exploring(PRESSURE), [present], runsAt(VALUES, times), {
    ...{ plannedRuns: 14, seed: 1, drift: "linear" },
  });
}

describe("the best of two settings", () => {
  const surface = fc.array(fc.double({ min: -2, max: 2, noNaN: true }), {
    minLength: 5,
    maxLength: 5,
  });
  it("is the one that looking at every pair of steps finds", () => {
    const settings = [
      { ...PRESSURE, step: 0.02 },
      { ...REBOUND, high: 23 },
    ];
    const scales = settings.map((setting) => scaleOf(setting, setting.low));
    const grid = [0, 0.5, 1].flatMap((a) => [0, 0.5, 1].map((b) => [1.3 + 0.6 * a, 23 * b]));
    fc.assert(
      fc.property(surface, ([b1 = 0, b11 = 0, b2 = 0, b22 = 0, b12 = 0]) => {
        const runs = grid.map((values, i): TriedRun => {
          const [u = 0, v = 0] = values.map((x, j) => codedAt(settings[j] ?? PRESSURE, x));
          const timeS = 90 + b1 * u + b11 * u * u + b2 * v + b22 * v * v + b12 * u * v;
          return { k: i + 1, values, timeS };
        });
        const fit = fitCurve(scales, runs, "none", true);
        if (fit === null) throw new Error("no fit");
        const [first, second] = scales.map((scale) => scale.allowed);
        const times = (first ?? []).flatMap((a) =>
          (second ?? []).map((b) => fittedTime(fit, [a, b])),
        );
        expect(fittedTime(fit, bestValues(fit))).toBeCloseTo(Math.min(...times), 12);
      }),
      { numRuns: 60, seed: 4 },
    );
  });
});

it("a steady drift over the day moves no curve", () => {
  const truth = (pressure: number): number => 8 * (pressure - 1.62) ** 2;
  const still = said(truth).settings[0]?.curve ?? [];
  const times = VALUES.map((value, i) => 95 + truth(value) + (OFF[i] ?? 0) - 0.7 * i);
  const { settings } = explore(exploring(PRESSURE), [1.55], runsAt(VALUES, times), {
    ...{ plannedRuns: 14, seed: 1, drift: "linear" },
  });
  expect(still).toHaveLength(13);
  settings[0]?.curve.forEach((point, i) => {
    expect(point.gainS).toBeCloseTo(still[i]?.gainS ?? Number.NaN, 9);
    expect(point.bandS[1]).toBeCloseTo(still[i]?.bandS[1] ?? Number.NaN, 9);
  });
});

it("the curve is 0 at the present value without a band, and wider away from it", () => {
  const { settings } = said((pressure) => 8 * (pressure - 1.62) ** 2);
  const curve = settings[0]?.curve ?? [];
  const width = curve.map(({ bandS: [low, high] }) => high - low);
  expect(curve[5]).toMatchObject({ value: 1.55, gainS: 0, bandS: [0, 0] });
  expect(width[0]).toBeGreaterThan(width[4] ?? 1);
  expect(width[12]).toBeGreaterThan(width[6] ?? 1);
});

describe("words", () => {
  it("a clear gain is to be ridden back to back", () => {
    const { words, isKept, settings } = said((pressure) => 20 * (pressure - 1.63) ** 2, 1, 1.4);
    expect(isKept).toBe(false);
    expect(settings[0]?.best).toBe(1.65);
    expect(words).toEqual([
      "best about 1.65 bar; anything from 1.60 to 1.65 is as good as these 14 runs can tell",
      expect.stringMatching(
        /^1\.65 gains 1\.\d \+-0\.\d s on 1\.40: ride it back to back against 1\.40 before believing it$/,
      ),
    ]);
  });

  it("a gain that is not clear: keep", () => {
    const { words, isKept, gainS, gainErrorS } = said((pressure) => 8 * (pressure - 1.62) ** 2, 2);
    expect(isKept).toBe(true);
    // One-sided 95 % point of t with 10 degrees of freedom, from the tables: 1.812.
    const half = 1.812 * (gainErrorS ?? 0);
    expect(words.at(-1)).toBe(
      `keep 1.55: the gain of ${(-(gainS ?? 0)).toFixed(2)} s is not clear (+-${half.toFixed(2)} s)`,
    );
  });

  it("no setting matters, and that is all that is said", () => {
    const { words, settings } = said(() => 0);
    expect(words).toEqual(["no sign that rear_pressure_bar matters here; keep 1.55"]);
    expect(settings[0]).toMatchObject({ asGood: [1.3, 1.9], atLow: true, atHigh: true });
  });

  it("a best at a limit, or one that may be there", () => {
    const steep = said((pressure) => -6 * pressure);
    expect(steep.settings[0]).toMatchObject({ best: 1.9, atLow: false, atHigh: true });
    expect(steep.words[0]).toMatch(/^best at or beyond your limit 1\.90 bar; /);
    const near = said((pressure) => 8 * (pressure - 1.8) ** 2);
    expect(near.settings[0]?.best).toBeLessThan(1.9);
    expect(near.words).toContain("the best may lie at or beyond your limit 1.90 bar");
  });

  it("a curve that bends the other way names both ends, not what lies between", () => {
    const { words, settings } = said((pressure) => -30 * (pressure - 1.6) ** 2, 2);
    expect(settings[0]).toMatchObject({ atLow: true, atHigh: true });
    expect(words[0]).toMatch(/ beyond your limit 1\.[39]0 bar; .*1\.30.* or .*1\.90/);
  });

  it("the present value is the best", () => {
    const { words } = said((pressure) => 20 * (pressure - 1.6) ** 2, 1, 1.6);
    expect(words.at(-1)).toBe("keep 1.60: the best of the fitted curve");
  });

  it("how many runs are missing, and that too few were planned", () => {
    const at = (n: number, plannedRuns: number) =>
      explore(exploring(PRESSURE), [1.55], runsAt(VALUES.slice(0, n), OFF), {
        ...{ plannedRuns, seed: 1, drift: "linear" },
      }).words;
    expect(at(0, 14)).toEqual(["too early for a curve: 5 more runs at the values suggested"]);
    expect(at(4, 14)).toEqual(["too early for a curve: 1 more run at the values suggested"]);
    expect(at(4, 4)).toEqual([
      "these 4 runs cannot tell a curve: plan at least 6, at the values suggested",
    ]);
  });

  it("runs without scatter have a best and no band", () => {
    const { words, settings, spreadS, gainErrorS, isKept } = said(
      (pressure) => 8 * (pressure - 1.6) ** 2,
      0,
    );
    expect([spreadS, gainErrorS, isKept]).toEqual([0, null, true]);
    expect(settings[0]).toMatchObject({ best: 1.6, asGood: null, curve: [] });
    expect(words.join()).toContain("without any scatter");
  });

  it("two settings by name; one after the other, interaction is not seen", () => {
    const day = (plannedRuns: number) => {
      const normal = normals(seededRandom(5));
      const options = { plannedRuns, seed: 2, drift: "linear" } as const;
      const explored = exploring(PRESSURE, REBOUND);
      const runs: TriedRun[] = [];
      for (let k = 1; k <= plannedRuns; k += 1) {
        const values = explore(explored, [1.4, 6], runs, options).next ?? [];
        const [pressure = 0, rebound = 0] = values;
        const timeS = 95 + 40 * (pressure - 1.6) ** 2 + 0.08 * (rebound - 8) ** 2;
        runs.push({ k, values, timeS: timeS + 0.2 * normal() });
      }
      return explore(explored, [1.4, 6], runs, options).words;
    };
    const [first, second, gain] = day(18);
    expect(first).toMatch(/^rear_pressure_bar: best about 1\.\d\d bar; /);
    expect(second).toMatch(/^fork_rebound_clicks: best about \d clicks; /);
    expect(gain).toMatch(
      /^1\.\d\d bar, \d clicks gains \d\.\d+ \+-0\.\d+ s on 1\.40 bar, 6 clicks: /,
    );
    expect(day(18).join()).not.toContain("interaction");
    expect(day(12).at(-1)).toContain("interaction not seen");
  });

  it("the help says what the curve rests on", () => {
    expect(HELP.join("\n")).toContain("if the curve is a parabola");
  });
});

describe("limits that make no scale are a caller's mistake", () => {
  const bad: readonly ExploredSetting[] = [
    { ...PRESSURE, high: 1.3 },
    { ...PRESSURE, step: 0 },
    { ...PRESSURE, low: Number.NaN },
  ];
  it.each(bad)("%j", (setting) => {
    expect(() => scaleOf(setting, 1.5)).toThrow(RangeError);
  });

  it("clicks are whole, whatever the step", () => {
    expect(scaleOf({ ...REBOUND, low: 0.5, high: 4.5, step: 0.5 }, 2).allowed).toEqual([
      1, 2, 3, 4,
    ]);
  });
});
