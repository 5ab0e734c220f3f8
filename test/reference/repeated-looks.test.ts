// Bands that may be read after every run against published figures for repeated looks, and against
// their own chance of a false call, worked out without simulation.
import { describe, expect, it } from "vitest";
import { bandMultiplier, logEvidence, openPhi } from "../../src/stats/band.ts";
import { bandPlan, type Limits, multipliersAt } from "../../src/stats/band-in-force.ts";
import { plannedFigures, planningOrder } from "../../src/stats/design.ts";
import { designsAhead } from "../../src/stats/forecast.ts";
import { studentQuantile } from "../../src/stats/student-t.ts";
import { planThreshold } from "../../src/stats/thresholds.ts";
import { expectAbs, expectDigits, expectRel } from "./cases.ts";
import { referenceEntry } from "./entry.ts";
import { normalQuantile, normalTail } from "./normal.ts";
import { chanceOfAnyCall, type SeenLook } from "./repeated-looks.ts";

const FILE = "08_sequential.json";
/** Degrees of freedom at which the spread is as good as known. */
const MANY = 1e7;

/** Equally spaced looks at normal data with a known spread. */
function normalLooks(criticals: readonly number[]): readonly SeenLook[] {
  return criticals.map((critical, i) => ({ df: MANY + i, z2: i + 1, critical }));
}

interface Constants {
  readonly K: readonly number[];
  readonly alpha?: number;
}

/** Constants by level: "C" at the entry's level, "C_0.01" at 0.01. */
function constantsOf(id: string): readonly (readonly [number, number, number])[] {
  const { inputs, checked_with, expected } = referenceEntry<
    Constants,
    Readonly<Record<string, readonly number[]>>
  >(FILE, id);
  return Object.entries(checked_with.values).flatMap(([key, values]) =>
    values.map((constant, i) => {
      expectAbs(constant, expected[key]?.[i] ?? Number.NaN, 0.0011, id);
      const level = key === "C" ? (inputs.alpha ?? Number.NaN) : Number(key.slice(2));
      return [level, inputs.K[i] ?? Number.NaN, constant] as const;
    }),
  );
}

const pocock = ["seq-pocock-05", "seq-pocock-other"].flatMap(constantsOf);
const obrienFleming = ["seq-obf-05", "seq-obf-other"].flatMap(constantsOf);
/** O'Brien and Fleming's limits fall with the looks. */
const falling = (K: number, constant: number): readonly number[] =>
  Array.from({ length: K }, (_, i) => constant * Math.sqrt(K / (i + 1)));

describe("the chance of any call, as worked out here", () => {
  // Armitage, McPherson & Rowe (1969), JRSS A 132, table 2.
  it("is the published one for a 5 % test read again and again", () => {
    const { inputs, expected, checked_with } = referenceEntry<
      { nominal_z: number; looks: number[] },
      { overall: number[] }
    >(FILE, "seq-repeated-looks");
    inputs.looks.forEach((looks, i) => {
      const same = Array.from({ length: looks }, () => inputs.nominal_z);
      const chance = chanceOfAnyCall(normalLooks(same));
      expectAbs(chance, expected.overall[i] ?? Number.NaN, 0.00051);
      expectRel(chance, checked_with.values.overall[i] ?? Number.NaN, 2e-5);
    });
  });

  // Pocock (1977), Biometrika 64; O'Brien & Fleming (1979), Biometrics 35; Jennison & Turnbull
  // (2000), Group Sequential Methods, tables 2.1 and 2.3.
  it("is the level at the published constants", () => {
    expect([pocock.length, obrienFleming.length]).toEqual([17, 17]);
    for (const [level, K, constant] of pocock) {
      const same = Array.from({ length: K }, () => constant);
      expectRel(chanceOfAnyCall(normalLooks(same)), level, 1e-4, `Pocock ${String(K)}`);
    }
    for (const [level, K, constant] of obrienFleming) {
      const chance = chanceOfAnyCall(normalLooks(falling(K, constant)));
      expectRel(chance, level, 1e-4, `O'Brien-Fleming ${String(K)}`);
    }
    const four = referenceEntry<unknown, { obf: number[]; pocock: number }>(
      FILE,
      "seq-obf-4-stage",
    ).expected;
    expectRel(chanceOfAnyCall(normalLooks(four.obf)), 0.05, 1e-4);
    const same = four.obf.map(() => four.pocock);
    expectRel(chanceOfAnyCall(normalLooks(same)), 0.05, 1e-4);
  });

  // Lan & DeMets (1983), Biometrika 70; Reboussin et al. (2000), Controlled Clinical Trials 21.
  it("is spent as the published spending functions say, look by look", () => {
    const spent = (limits: readonly number[]): readonly number[] =>
      limits.map((_, i) => chanceOfAnyCall(normalLooks(limits.slice(0, i + 1))));
    const late = referenceEntry<{ K: number[] }, Record<string, number[]>>(
      FILE,
      "seq-landemets-obf",
    );
    const z = normalQuantile(0.0125);
    for (const K of late.inputs.K) {
      const limits = late.checked_with.values[String(K)] ?? [];
      expect(limits).toHaveLength(K);
      spent(limits).forEach((chance, i) => {
        // Each side spends 2 (1 - Phi(z / sqrt t)) of its 0.025.
        expectAbs(chance, 4 * normalTail(z / Math.sqrt((i + 1) / K)), 2e-5);
      });
    }
    const even = referenceEntry<{ K: number }, { z: number[] }>(FILE, "seq-landemets-pocock");
    spent(even.checked_with.values.z).forEach((chance, i) => {
      expectAbs(chance, 0.05 * Math.log(1 + ((Math.E - 1) * (i + 1)) / even.inputs.K), 3e-5);
    });
  });
});

/** A rider's looks at B against A in the mirrored order, linear session drift. */
function looksOf(N: number, ridden: number) {
  const setups = ["A", "B"];
  const figures = plannedFigures(setups, [planningOrder(setups, N)], "linear");
  const z2N = figures.pair("B", "A")?.z2N ?? Number.NaN;
  const rows = planningOrder(setups, ridden).map((setup, i) => ({ block: "R1", setup, k: i + 1 }));
  const pair = [{ candidate: "B", baseline: "A" }];
  const looks = designsAhead([], rows, setups, "linear", pair).flatMap(([design], n) =>
    design === undefined || design.rankDf < 1 ? [] : [{ n, df: design.rankDf, z2: design.z2 }],
  );
  return { nuN: figures.nuN, z2N, looks };
}

/** The looks with the limits that a band sets them. */
function seenBy(
  looks: readonly { readonly n: number; readonly df: number; readonly z2: number }[],
  limits: (n: number) => Limits,
): readonly SeenLook[] {
  return looks.map(({ n, df, z2 }) => ({
    df,
    z2,
    critical: multipliersAt(limits(n), df, z2).multiplier,
  }));
}

describe("the plan band", () => {
  // The program spends 0.9 of its level up to the end, half of it after; the tables come from
  // simulated days, to some 1 in 100 of the level.
  it.each([8, 10, 12, 16, 20, 24, 30, 40])(
    "of %i runs calls what is not there at its level, in overtime at a little more",
    (N) => {
      const { nuN, z2N, looks } = looksOf(N, N > 20 ? N : 3 * N);
      const bands = bandPlan("plan", 0.05, { nuN, z2N }, N);
      const seen = seenBy(looks, bands.at);
      const within = seen.filter((_, i) => (looks[i]?.n ?? 0) <= N);
      expectRel(chanceOfAnyCall(within), 0.045, 0.01);
      if (within.length === seen.length) return;
      const withOvertime = chanceOfAnyCall(seen);
      expect(withOvertime).toBeGreaterThan(0.046);
      expect(withOvertime).toBeLessThan(0.048);
    },
  );

  const levels = [0.1, 0.09, 0.08, 0.05, 0.045, 0.04, 0.025, 0.0225, 0.05 / 3, 0.0125, 0.01];
  const nodes = [
    ...[...levels, 0.05 / 6, 0.005].map((level) => [level, 9] as const),
    ...[0.1, 0.045, 0.0125, 0.005].map((level) => [level, 17] as const),
    ...[5, 7, 11, 13, 21, 27, 37, 57].map((nuN) => [0.0225, nuN] as const),
  ];

  it("spends its level, and the told share of it before the end, at the nodes of its tables", () => {
    const shares = new Map([
      [5, 0.5],
      [7, 0.55],
      [9, 0.6],
      [11, 0.65],
    ]);
    for (const [level, nuN] of nodes) {
      const N = nuN + 3;
      const { z2N, looks } = looksOf(N, N);
      const phi = (2 / 3) * z2N;
      const [before, last] = (["L1", "LN"] as const).map((kind): Limits => {
        const outerL = planThreshold(kind, level, nuN);
        return { phi, outerL, innerL: outerL };
      });
      if (before === undefined || last === undefined) throw new RangeError("no thresholds");
      const seen = seenBy(looks, (n) => (n < N ? before : last));
      const what = `level ${level.toFixed(4)}, df ${String(nuN)}`;
      // Below 0.0225 the tables' own error is larger.
      expectRel(chanceOfAnyCall(seen), level, level < 0.0225 ? 0.015 : 0.01, what);
      const share = chanceOfAnyCall(seen.slice(0, -1)) / level;
      expectAbs(share, shares.get(nuN) ?? 0.7, 0.012, what);
    }
  });

  // A plain t band read after every run, for comparison: the same looks, four times the error.
  it.each([
    [12, 0.186],
    [20, 0.234],
    [40, 0.294],
  ])("of %i runs replaces a plain band that would do so on a share of %f", (N, naive) => {
    const { looks } = looksOf(N, N);
    const plain = looks.map((look) => ({ ...look, critical: studentQuantile(0.025, look.df) }));
    expectAbs(chanceOfAnyCall(plain), naive, 0.0006);
  });

  // At the end of a plan the band has been read after every run and has little left to wait for:
  // wider than a plain t band and than O'Brien and Fleming's last limit, narrower than Pocock's
  // limit, which spends as much on the first look as on the last. Compared by their tails.
  it.each([8, 12, 20, 30, 40, 60])("of %i runs ends between published limits", (N) => {
    const { nuN, z2N, looks } = looksOf(N, N);
    for (const level of [0.1, 0.05, 0.01]) {
      // The level spent up to the end is 0.9 of the pair's.
      const bands = bandPlan("plan", level / 0.9, { nuN, z2N }, N);
      const { multiplier } = multipliersAt(bands.at(N), nuN, z2N);
      const finite = seenBy(looks, bands.at).filter((look) =>
        Number.isFinite(look.critical),
      ).length;
      const byTail = (z: number): number => studentQuantile(normalTail(z), nuN);
      expect(multiplier).toBeGreaterThan(studentQuantile(level / 2, nuN));
      // With more looks than the band has, a limit has more to pay for.
      for (const [own, K, constant] of obrienFleming) {
        if (own !== level || K > finite) continue;
        expect(multiplier, String(K)).toBeGreaterThan(byTail(constant));
      }
      for (const [own, K, constant] of pocock) {
        if (own === level && K > 2) expect(multiplier, String(K)).toBeLessThan(byTail(constant));
      }
    }
  });

  // Were every limit below a published one of the same level, the level would be overspent.
  it.each([2, 3, 4, 5, 6, 7, 8, 9, 10])(
    "seen only %i times is somewhere above Pocock's limit",
    (K) => {
      const { nuN, z2N, looks } = looksOf(6 * K, 6 * K);
      const bands = bandPlan("plan", 0.05, { nuN, z2N }, 6 * K);
      const [, , constant = 0] = pocock.find(([level, k]) => level === 0.05 && k === K) ?? [];
      const few = looks.filter(({ n }) => n % 6 === 0);
      expect(few).toHaveLength(K);
      const above = seenBy(few, bands.at).map(
        ({ critical, df }) => critical > studentQuantile(normalTail(constant), df),
      );
      expect(above).toContain(true);
    },
  );
});

describe("the open band", () => {
  it.each([8, 12, 20])("of %i runs calls what is not there far below its level, ever", (N) => {
    const { nuN, z2N, looks } = looksOf(N, 5 * N);
    const bands = bandPlan("open", 0.05, { nuN, z2N }, N);
    const seen = seenBy(looks, bands.at);
    const within = chanceOfAnyCall(seen.filter((_, i) => (looks[i]?.n ?? 0) <= N));
    expect(within).toBeGreaterThan(0.011);
    expect(within).toBeLessThan(0.016);
    const fivefold = chanceOfAnyCall(seen);
    expect(fivefold).toBeGreaterThan(within);
    expect(fivefold).toBeLessThan(0.035);
  });

  // Robbins (1970), Ann. Math. Statist. 41; Howard et al. (2021), Annals of Statistics 49.
  it("is the two-sided normal mixture where the spread is as good as known", () => {
    const { inputs, expected } = referenceEntry<
      { alpha: number; rho: number; v: number[] },
      { boundary_for_sum: number[]; halfwidth_for_mean: number[] }
    >(FILE, "seq-robbins-mixture");
    const { alpha, rho } = inputs;
    inputs.v.forEach((v, i) => {
      const r = rho / (rho + v);
      const multiplier = bandMultiplier(1e13, r, -Math.log(alpha));
      const sum = expected.boundary_for_sum[i] ?? Number.NaN;
      expectDigits(multiplier * Math.sqrt(v), sum, 10, `v ${String(v)}`);
      expectDigits(multiplier / Math.sqrt(v), expected.halfwidth_for_mean[i] ?? Number.NaN, 10);
      // Its evidence there: exp(S^2 / (2 (v + rho))) sqrt(rho / (v + rho)) = 1 / alpha.
      const evidence = sum ** 2 / (2 * (v + rho)) + 0.5 * Math.log(rho / (v + rho));
      expectDigits(evidence, -Math.log(alpha), 12);
      expectDigits(logEvidence(sum / Math.sqrt(v), 1e13, r), evidence, 10);
    });
    // Narrowest at v = 10 for rho = 1.218, as its note says.
    expectAbs(openPhi(1e9, 10, alpha), 1.218, 0.0006);
  });

  // Vovk & Wang (2021), Annals of Statistics 49: p = 1 / E.
  it("calls at evidence of 20 to 1 at a level of 5 %", () => {
    const { inputs, expected } = referenceEntry<{ E_single: number }, { p_bound_for_E20: number }>(
      FILE,
      "seq-evalues",
    );
    for (const nu of [5, 17, 400]) {
      const m = bandMultiplier(nu, 0.1, -Math.log(expected.p_bound_for_E20));
      expectDigits(Math.exp(logEvidence(m, nu, 0.1)), inputs.E_single, 13);
    }
  });

  // It holds for ever, so it lies above every limit for a few looks.
  it("is wider than Pocock's limits at every look", () => {
    for (const [level, K, constant] of pocock) {
      for (const r of [0.01, 0.05, 0.1, 0.2, 0.5, 0.9]) {
        expect(bandMultiplier(1e9, r, -Math.log(level)), String(K)).toBeGreaterThan(constant);
      }
    }
  });
});
