// What a plan promises, between published figures for one t test at a fixed number of runs: a plan
// that is read after every run needs more than those, but not much more.
import { describe, expect, it } from "vitest";
import { planDay } from "../../src/advisor/plan-day.ts";
import { studentQuantile } from "../../src/stats/student-t.ts";
import { sheetOf } from "../advisor/sessions.ts";
import { expectAbs, expectDigits, readData } from "./cases.ts";
import { referenceEntry } from "./entry.ts";
import { fixedPower, noncentralTail, shiftFor } from "./noncentral-t.ts";
import { normalQuantile } from "./normal.ts";

const FILE = "05_power_sample_size.json";

interface Planned {
  readonly name: string;
  readonly inputs: Readonly<Record<string, number>> & { readonly order?: string };
  readonly expected: Readonly<Record<string, number>>;
}
const { fixtures } = readData("planning.json") as { fixtures: readonly Planned[] };
const planned = (start: string): readonly Planned[] =>
  fixtures.filter((fixture) => fixture.name.startsWith(start));
const of = (numbers: Readonly<Record<string, number>>, key: string): number =>
  numbers[key] ?? Number.NaN;

/** Two-sided unless told; n in each of two groups. */
function twoGroups(n: number, d: number, level = 0.05, sides: 1 | 2 = 2): number {
  return fixedPower({ df: 2 * n - 2, shift: d * Math.sqrt(n / 2), level, sides });
}

/** Smallest difference that the plan's last band is said to find on 80 % of days, in spreads. */
function promised(
  runs: number,
  drift: "none" | "linear",
  setups = ["A", "B"],
  spreads: "common" | "each" = "common",
): number {
  const sheet = sheetOf({ setups, settings: { drift, spreads, plannedRuns: runs, spreadS: 1 } });
  return planDay(sheet).smallest_difference_s?.at_spread ?? Number.NaN;
}

describe("one t test at a fixed number of runs, as worked out here", () => {
  // Lenth (1989), algorithm AS 243, as in R 4.2.
  it("has R's noncentral t", () => {
    const cases = planned("noncentral-t-cdf-");
    expect(cases).toHaveLength(4);
    for (const { name, inputs, expected } of cases) {
      const tail = noncentralTail(of(inputs, "t"), of(inputs, "df"), of(inputs, "ncp"));
      expectDigits(1 - tail, of(expected, "cdf"), 11, name);
    }
    const [power] = planned("power-no-drift-8-a-side");
    expectDigits(twoGroups(8, 1.5), of(power?.expected ?? {}, "power"), 12, "8 a side");
  });

  // Cohen (1988), Statistical Power Analysis, 2nd ed., table 2.4.1: rounded, and one less than the
  // exact answer in places.
  it.each(["power-cohen-two-sample-80", "power-cohen-two-sample-90", "power-cohen-one-sided-80"])(
    "needs the printed number in each group: %s",
    (id) => {
      const { inputs, expected } = referenceEntry<
        { sides: 1 | 2; alpha: number; power: number; d: number[] },
        { n_per_group: number[] }
      >(FILE, id);
      inputs.d.forEach((d, i) => {
        const n = expected.n_per_group[i] ?? Number.NaN;
        const { power, alpha, sides } = inputs;
        expect(twoGroups(n + 1, d, alpha, sides), `d ${String(d)}`).toBeGreaterThan(power);
        expect(twoGroups(n - 1, d, alpha, sides), `d ${String(d)}`).toBeLessThan(power);
      });
    },
  );

  // R's help for power.t.test, which leaves out the tail on the other side.
  it("has the powers of R's help", () => {
    const one = referenceEntry<{ n_per_group: number; delta: number }, { power: number }>(
      FILE,
      "power-r-doc-power",
    );
    const nearTail = (n: number): number =>
      noncentralTail(studentQuantile(0.025, 2 * n - 2), 2 * n - 2, Math.sqrt(n / 2));
    expect(one.inputs.delta).toBe(1);
    const power = nearTail(one.inputs.n_per_group);
    expectAbs(power, one.expected.power, 5e-7);
    expectDigits(power, one.checked_with.values.power, 12, "power");
    const other = referenceEntry<{ power: number }, { n_per_group: number }>(FILE, "power-r-doc-n");
    const needed = other.checked_with.values.n_per_group;
    // R searches for n to some four places.
    expectAbs(nearTail(needed), other.inputs.power, 1e-6);
    expectAbs(needed, other.expected.n_per_group, 6e-5);
  });

  // Faul et al. (2007), Behavior Research Methods 39, matched pairs; Cohen (1988), ch. 2.
  it("has the powers of pairs", () => {
    const { inputs, expected, checked_with } = referenceEntry<
      { n_pairs: number; dz: number },
      Record<"df" | "t_crit" | "ncp" | "power", number>
    >(FILE, "power-gpower-paired");
    const { n_pairs: n, dz } = inputs;
    const test = { df: n - 1, shift: dz * Math.sqrt(n), level: 0.05, sides: 2 } as const;
    expectAbs(studentQuantile(0.025, n - 1), expected.t_crit, 1e-5);
    expectAbs(test.shift, expected.ncp, 1e-5);
    expectAbs(fixedPower(test), expected.power, 1e-5);
    expectDigits(fixedPower(test), checked_with.values.power, 13, "power");
    const pairs = referenceEntry<{ dz: number[] }, { n_pairs: number[] }>(FILE, "power-paired-34");
    pairs.inputs.dz.forEach((d, i) => {
      const needed = pairs.expected.n_pairs[i] ?? Number.NaN;
      const power = (m: number): number =>
        fixedPower({ df: m - 1, shift: d * Math.sqrt(m), level: 0.05, sides: 2 });
      expect(power(needed)).toBeGreaterThanOrEqual(0.8);
      expect(power(needed - 1)).toBeLessThan(0.8);
    });
  });

  // NIST/SEMATECH e-Handbook, 7.2.2.2: the normal answer, then once more with t on its n - 1.
  it("has the sample size of the handbook, step by step", () => {
    const { expected, checked_with } = referenceEntry<
      unknown,
      Record<"n_normal_approx" | "n_first_t_iteration" | "n", number>
    >(FILE, "power-nist-handbook-sample");
    const normal = (normalQuantile(0.05) + normalQuantile(0.1)) ** 2;
    expectAbs(normal, expected.n_normal_approx, 0.05);
    const next = (n: number): number => {
      const df = Math.ceil(n) - 1;
      return (studentQuantile(0.05, df) + studentQuantile(0.1, df)) ** 2;
    };
    const first = next(normal);
    expectAbs(first, expected.n_first_t_iteration, 0.05);
    expectDigits(first, checked_with.values.n_first_t_iteration, 14, "first step");
    expect(Math.ceil(next(first))).toBe(expected.n);
  });

  // Julious (2004), Statistics in Medicine 23: a cross-over's total number, even, at 90 %.
  it("needs R's numbers for a cross-over", () => {
    const { inputs, checked_with } = referenceEntry<
      { power: number; d: number[] },
      { N_exact_noncentral_t: number[] }
    >(FILE, "power-crossover-precision");
    inputs.d.forEach((d, i) => {
      const needed = checked_with.values.N_exact_noncentral_t[i] ?? Number.NaN;
      const power = (n: number): number =>
        fixedPower({ df: n - 2, shift: d * Math.sqrt(n / 2), level: 0.05, sides: 2 });
      expect(power(needed), `d ${String(d)}`).toBeGreaterThanOrEqual(inputs.power);
      expect(power(needed - 2), `d ${String(d)}`).toBeLessThan(inputs.power);
    });
  });

  it("finds R's smallest differences in a mirrored order", () => {
    const cases = planned("mdd-").filter(({ expected }) => "se" in expected);
    expect(cases).toHaveLength(8);
    for (const { name, inputs, expected } of cases) {
      const test = { df: of(expected, "df"), level: of(inputs, "alpha"), sides: 2 } as const;
      expectDigits(shiftFor(0.8, test) * of(expected, "se"), of(expected, "mdd"), 11, name);
    }
    const [plain] = planned("mdd-no-drift-8-a-side");
    const shift = shiftFor(0.8, { df: 14, level: 0.05, sides: 2 });
    expectDigits(shift / 2, of(plain?.expected ?? {}, "mdd"), 11, "8 a side");
  });
});

describe("a plan that is read after every run", () => {
  // Cohen (1988), table 2.4.1, twice the number in each group.
  it("needs at least a fixed test's runs and at most a fifth more, without session drift", () => {
    const { inputs, expected } = referenceEntry<{ d: number[] }, { n_per_group: number[] }>(
      FILE,
      "power-cohen-two-sample-80",
    );
    inputs.d.forEach((d, i) => {
      const fixed = 2 * (expected.n_per_group[i] ?? Number.NaN);
      expect(promised(fixed, "none"), `d ${String(d)}`).toBeGreaterThan(d);
      expect(promised(Math.ceil(1.2 * fixed), "none"), `d ${String(d)}`).toBeLessThan(d);
    });
  });

  it.each(planned("runs-needed-").map((fixture) => [fixture.name, fixture] as const))(
    "the same with a linear session drift: %s",
    (_, { inputs, expected }) => {
      const d = of(inputs, "deltaOverSigma");
      const fixed = of(expected, "n");
      expect(promised(fixed, "linear")).toBeGreaterThan(d);
      expect(promised(Math.ceil(1.2 * fixed), "linear")).toBeLessThan(d);
    },
  );

  it.each(
    planned("mdd-linear-n")
      .filter(({ expected }) => of(expected, "df") >= 5)
      .map((fixture) => [fixture.name, fixture] as const),
  )("promises little more than a fixed test finds in as many runs: %s", (_, fixture) => {
    const fixed = of(fixture.expected, "mdd");
    for (const spreads of ["common", "each"] as const) {
      const found = promised(fixture.inputs.order?.length ?? 0, "linear", ["A", "B"], spreads);
      expect(found).toBeGreaterThan(fixed);
      // Twenty in a hundred more runs shorten an error by a factor of sqrt 1.2.
      expect(found / fixed).toBeLessThan(Math.sqrt(1.2));
    }
  });

  it("likewise with three set-ups that share the level", () => {
    const [fixture] = planned("mdd-K3-n12-bonferroni");
    const fixed = of(fixture?.expected ?? {}, "mdd");
    const ratio = promised(12, "linear", ["A", "B", "C"]) / fixed;
    expect(ratio).toBeGreaterThan(1);
    expect(ratio).toBeLessThan(Math.sqrt(1.2));
  });
});
