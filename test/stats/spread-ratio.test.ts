// The ratio of two spreads: its likelihood against independent computations, its band by
// properties, by the textbook interval for one look, and by simulation of many.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import {
  type RatioBand,
  type RatioLikelihood,
  ratioBand,
  ratioLikelihood,
  ratioLogEvidence,
  ratioThreshold,
} from "../../src/stats/spread-ratio.ts";
import { normals } from "./made-session.ts";
import { mirrored } from "./mirrored-day.ts";

interface Ride {
  readonly block: string;
  readonly setup: string;
  readonly k: number;
  readonly ground?: number;
  readonly timeS: number;
}

function rides(order: readonly string[], times: readonly number[], block = "0 R1"): Ride[] {
  return order.map((setup, i) => ({ block, setup, k: i + 1, timeS: times[i] ?? Number.NaN }));
}

/** A day whose B scatters so many times as much as its A. */
function day(order: readonly string[], ratio: number, normal: () => number): Ride[] {
  const times = order.map((s, i) => 120 + 0.1 * i + (s === "B" ? ratio : 1) * normal());
  return rides(order, times);
}

function likelihoodOf(
  runs: readonly Ride[],
  drift: "none" | "linear" | "learning" = "linear",
): RatioLikelihood {
  const found = ratioLikelihood(runs, "B", "A", drift);
  if (found === undefined) throw new Error("no likelihood");
  return found;
}

function bandOf(runs: readonly Ride[], drift: "none" | "linear" = "linear"): RatioBand {
  const band = ratioBand(likelihoodOf(runs, drift), ratioThreshold(17));
  if (band === undefined) throw new Error("no band");
  return band;
}

const TIMES = [120.4, 118.7, 119.9, 121.3, 120.2, 117.1, 118.8, 120.9, 119.5, 121.6];

describe("likelihood of a ratio of spreads", () => {
  it("does not move by whatever a marked step of the ground adds", () => {
    const order = ["A", "B", "B", "A", "B", "A", "A", "B", "B", "B"];
    const likelihood = (stepS: number): RatioLikelihood =>
      likelihoodOf(
        rides(order, TIMES).map((ride, i) => {
          const ground = i < 5 ? 0 : 1;
          return { ...ride, ground, timeS: ride.timeS + stepS * ground };
        }),
      );
    for (const ratio of [0.5, 1, 3]) {
      expect(likelihood(30)(ratio)).toBeCloseTo(likelihood(0)(ratio), 8);
      expect(likelihood(0)(ratio)).not.toBeCloseTo(likelihoodOf(rides(order, TIMES))(ratio), 3);
    }
  });

  it.each(["none", "linear", "learning"] as const)(
    "is the density of the error contrasts, session drift %s",
    (drift) => {
      // Independent: an orthonormal base K of what the design cannot reach, by Gram-Schmidt, and the
      // density of the direction of K'y for V = diag(1, ratio^2), by Cholesky. Harville (1974),
      // Biometrika 61, 383-385: the two differ by a constant.
      const order = ["A", "B", "B", "A", "B", "A", "A", "B", "B", "B"];
      const likelihood = likelihoodOf(rides(order, TIMES), drift);
      const contrasts = errorContrasts(order, drift);
      const off = [0.2, 0.7, 1, 1.9, 6].map(
        (ratio) => likelihood(ratio) - contrastDensity(contrasts, order, ratio),
      );
      for (const each of off) expect(each).toBeCloseTo(off[0] ?? Number.NaN, 9);
    },
  );

  it("is largest at the ratio of the two sample spreads without session drift", () => {
    // By hand: with two means l = -(nB - 1) ln r - (n - 2)/2 ln(SA + SB / r^2), so that
    // r^2 = (SB / (nB - 1)) / (SA / (nA - 1)).
    const order = Array.from("AABBBABABB");
    const likelihood = likelihoodOf(rides(order, TIMES), "none");
    const best = sampleSd(order, "B") / sampleSd(order, "A");
    for (const step of [1.001, 0.999]) {
      expect(likelihood(best)).toBeGreaterThan(likelihood(best * step));
    }
  });

  it("speaks of the two set-ups alone, and of nothing that it can't see", () => {
    const order = mirrored(10);
    const runs = rides(order, TIMES);
    const third = { block: "0 R1", setup: "C", k: 11, timeS: 140 };
    expect(likelihoodOf([...runs, third])(1.3)).toBe(likelihoodOf(runs)(1.3));
    const few = [
      runs.slice(0, 5),
      runs.filter((run) => run.setup === "A"),
      runs.filter((run, i) => run.setup === "A" || i === 1),
      rides(order, Array<number>(10).fill(120)),
      runs.map((run) => (run.setup === "A" ? { ...run, timeS: 120 } : run)),
    ];
    for (const each of few) expect(ratioLikelihood(each, "B", "A", "none")).toBeUndefined();
  });
});

describe("band of a ratio of spreads", () => {
  it("lies around the ratio of the residual spreads and widens with the threshold", () => {
    const runs = day(mirrored(24), 2, normals(3));
    const likelihood = likelihoodOf(runs);
    const narrow = ratioBand(likelihood, 1);
    const wide = ratioBand(likelihood, 2);
    expect(narrow?.[0]).toBeGreaterThan(wide?.[0] ?? Number.NaN);
    expect(narrow?.[1]).toBeLessThan(wide?.[1] ?? Number.NaN);
    // Both ends are where the evidence is the threshold, to the width of a step.
    for (const end of wide ?? []) expect(ratioLogEvidence(likelihood, end)).toBeCloseTo(2, 1);
  });

  it("turns round with the names, follows the unit, and minds neither level nor trend", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 99 }),
        fc.double({ min: 0.5, max: 2 }),
        (seed, ratio) => {
          const runs = day(mirrored(20), ratio, normals(seed));
          const [low, high] = bandOf(runs);
          const turned = bandOf(
            runs.map((run) => ({ ...run, setup: run.setup === "A" ? "B" : "A" })),
          );
          expect(turned[0] * high).toBeCloseTo(1, 6);
          expect(turned[1] * low).toBeCloseTo(1, 6);
          const moved = bandOf(
            runs.map((run) => ({ ...run, timeS: 3 * run.timeS - 40 + 0.7 * run.k })),
          );
          expect(moved[0]).toBeCloseTo(low, 6);
          expect(moved[1]).toBeCloseTo(high, 6);
        },
      ),
      { seed: 11, numRuns: 10 },
    );
  });

  it("is the same for scatter of a millisecond on times of hours", () => {
    const runs = day(mirrored(20), 1.4, normals(31));
    const fine = runs.map((run) => ({ ...run, timeS: 9999 + (run.timeS - 120) / 1000 }));
    bandOf(fine).forEach((end, i) => {
      expect(end / (bandOf(runs)[i] ?? Number.NaN)).toBeCloseTo(1, 6);
    });
  });

  it("scales with the scatter of one set-up where there is no session drift", () => {
    const order = mirrored(20);
    const normal = normals(9);
    const noise = order.map(() => normal());
    const at = (ratio: number): RatioBand =>
      bandOf(
        rides(
          order,
          noise.map((e, i) => 100 + (order[i] === "B" ? ratio : 1) * e),
        ),
        "none",
      );
    // A whole number of steps of the search, so that both are cut at the same places.
    const [low, high] = at(1);
    const [doubled, most] = at(Math.exp(0.7));
    expect(doubled).toBeCloseTo(low * Math.exp(0.7), 6);
    expect(most).toBeCloseTo(high * Math.exp(0.7), 6);
  });

  it("contains the textbook interval, which may be read but once", () => {
    // F interval for two variances, NIST/SEMATECH e-Handbook 1.3.5.9; F(.975; 9, 9) = 4.026 (from
    // the tables in any textbook, from memory).
    const order = mirrored(20);
    const runs = day(order, 1.3, normals(21));
    const times = runs.map((run) => run.timeS);
    const ratio = sampleSd(order, "B", times) / sampleSd(order, "A", times);
    const [low, high] = bandOf(runs, "none");
    const root = Math.sqrt(4.026);
    expect(low).toBeLessThan(ratio / root);
    expect(high).toBeGreaterThan(ratio * root);
    expect(high / low).toBeLessThan(2 * root ** 2);
  });

  it("is not given while an end is beyond a factor of twenty", () => {
    const runs = day(mirrored(6), 1, normals(4));
    expect(ratioBand(likelihoodOf(runs), ratioThreshold(null))).toBeUndefined();
    const lopsided = day(mirrored(40), 200, normals(4));
    expect(ratioBand(likelihoodOf(lopsided), ratioThreshold(37))).toBeUndefined();
  });
});

describe("threshold", () => {
  it("rises with the plan from its first figure to the open one", () => {
    expect(ratioThreshold(9)).toBe(0.82);
    expect(ratioThreshold(17)).toBeCloseTo(1.26, 12);
    expect(ratioThreshold(97)).toBeCloseTo(2.14, 12);
    let last = 0;
    for (let nuN = 9; nuN < 3000; nuN += 1) {
      const threshold = ratioThreshold(nuN);
      expect(threshold).toBeGreaterThanOrEqual(last);
      last = threshold;
    }
    expect(last).toBe(-Math.log(0.05));
    expect(ratioThreshold(8)).toBe(-Math.log(0.05));
    expect(ratioThreshold(null)).toBe(-Math.log(0.05));
  });

  it.each([
    { planned: 12, ratio: 1, seed: 101 },
    { planned: 16, ratio: 2, seed: 102 },
  ])(
    "loses a true ratio of $ratio on no more than 5 % of days of $planned runs at any look",
    ({ planned, ratio, seed }) => {
      const DAYS = 300;
      const normal = normals(seed);
      const threshold = ratioThreshold(planned - 3);
      let lost = 0;
      for (let i = 0; i < DAYS; i += 1) {
        const runs = day(mirrored(planned), ratio, normal);
        const isLost = runs.some(
          (_, n) =>
            n >= 5 && ratioLogEvidence(likelihoodOf(runs.slice(0, n + 1)), ratio) > threshold,
        );
        if (isLost) lost += 1;
      }
      // 5 %, give or take three standard errors of 300 days; a threshold of half the size fails.
      expect(lost / DAYS).toBeLessThan(0.05 + 3 * 0.0126);
      expect(lost / DAYS).toBeGreaterThan(0.05 - 3 * 0.0126);
    },
  );
});

function sampleSd(
  order: readonly string[],
  setup: string,
  times: readonly number[] = TIMES,
): number {
  const own = times.filter((_, i) => order[i] === setup);
  const mean = own.reduce((a, b) => a + b, 0) / own.length;
  return Math.sqrt(own.reduce((a, b) => a + (b - mean) ** 2, 0) / (own.length - 1));
}

function dot(a: readonly number[], b: readonly number[]): number {
  return a.reduce((sum, x, i) => sum + x * (b[i] ?? 0), 0);
}

/** Orthonormal vectors that every column of the design is at right angles to. */
function errorContrasts(order: readonly string[], drift: string): readonly (readonly number[])[] {
  const n = order.length;
  const design = [
    order.map(() => 1),
    order.map((s) => (s === "B" ? 1 : 0)),
    ...(drift === "none" ? [] : [order.map((_, i) => i + 1)]),
    ...(drift === "learning" ? [order.map((_, i) => Math.log(i + 1))] : []),
  ];
  const units = order.map((_, i) => order.map((__, j) => (i === j ? 1 : 0)));
  const base: number[][] = [];
  for (const vector of [...design, ...units]) {
    let rest = [...vector];
    for (let again = 0; again < 2; again += 1) {
      for (const each of base) {
        const share = dot(rest, each);
        rest = rest.map((x, i) => x - share * (each[i] ?? 0));
      }
    }
    const length = Math.sqrt(dot(rest, rest));
    if (length > 1e-6 && base.length < n) base.push(rest.map((x) => x / length));
  }
  return base.slice(design.length);
}

/** ln density of the direction of K'y, up to a constant: -1/2 ln det S - m/2 ln z'S^-1 z, S = K'VK. */
function contrastDensity(
  contrasts: readonly (readonly number[])[],
  order: readonly string[],
  ratio: number,
): number {
  const variance = order.map((s) => (s === "B" ? ratio ** 2 : 1));
  const s = contrasts.map((a) =>
    contrasts.map((b) =>
      dot(
        a,
        b.map((x, i) => x * (variance[i] ?? 0)),
      ),
    ),
  );
  const z = contrasts.map((a) => dot(a, TIMES));
  let lnDet = 0;
  let square = 0;
  const rows: number[][] = [];
  const solved: number[] = [];
  s.forEach((line, i) => {
    const row: number[] = [];
    for (let j = 0; j <= i; j += 1) {
      const before = dot(row.slice(0, j), (rows[j] ?? row).slice(0, j));
      const rest = (line[j] ?? 0) - before;
      row.push(j === i ? Math.sqrt(rest) : rest / (rows[j]?.[j] ?? Number.NaN));
    }
    rows.push(row);
    const pivot = row[i] ?? Number.NaN;
    const value = ((z[i] ?? 0) - dot(row.slice(0, i), solved)) / pivot;
    solved.push(value);
    lnDet += 2 * Math.log(pivot);
    square += value ** 2;
  });
  return -lnDet / 2 - (z.length / 2) * Math.log(square);
}
