// Cross-over trials: everybody rides both, in two orders. By least squares with a level for each
// subject, and by the comparison of what is left of each subject; published examples.
import { describe, expect, it } from "vitest";
import { compareRiders } from "../../src/stats/compare.ts";
import { compareTogether } from "../../src/stats/together.ts";
import { type MadeRun, madeSession } from "../stats/made-session.ts";
import { expectAbs, expectDigits } from "./cases.ts";
import { referenceEntry } from "./entry.ts";
import { estimateOf, indicators, residualSquares, withError } from "./textbook-model.ts";

const FILE = "06_paired_crossover_blocks.json";

interface TwoByTwo {
  readonly AB_period1: readonly number[];
  readonly AB_period2: readonly number[];
  readonly BA_period1: readonly number[];
  readonly BA_period2: readonly number[];
}
interface Printed {
  readonly treatment_A_minus_B: number;
  readonly df: number;
  readonly t?: number;
  readonly se?: number;
  readonly p?: number;
  readonly paired_ignoring_period_t?: number;
}
interface Digits {
  readonly treatment_A_minus_B: number;
  readonly se: number;
  readonly t: number;
  readonly df: number;
  readonly p: number;
  readonly ci: readonly number[];
  readonly period1_minus_period2: number;
  readonly t_period: number;
  readonly p_period: number;
  readonly carryover_t: number;
  readonly carryover_p: number;
  readonly paired_ignoring_period_mean: number;
  readonly paired_ignoring_period_t: number;
  readonly s2_within: number;
}

/** Senn (2002), Cross-over Trials in Clinical Research, ch. 3; Hills & Armitage (1979), Br. J. Clin.
 * Pharmacol. 8; Jones & Kenward (2014), Design and Analysis of Cross-Over Trials, ch. 2. */
const TRIALS = [
  ["senn-pef-abba", { t: 0.051, treatment: 0.051 }],
  ["hills-armitage-enuresis", { t: 0.0051, treatment: 0.00051 }],
  ["jones-kenward-copd", { t: 0, treatment: 0.0051 }],
] as const;

/** One value a subject, in two groups, as a session without session drift. */
function groups(first: readonly number[], second: readonly number[]) {
  const runs = [
    ...first.map((v): MadeRun => ({ setup: "A", timeS: 1000 + v })),
    ...second.map((v): MadeRun => ({ setup: "B", timeS: 1000 + v })),
  ];
  const [rider] = compareRiders(madeSession({ runs, settings: { drift: "none" } }));
  const pair = rider?.parts[0]?.pairs[0];
  return withError(
    pair?.difference_s ?? Number.NaN,
    pair?.standard_error_s ?? Number.NaN,
    pair?.df ?? Number.NaN,
  );
}

describe.each(TRIALS)("%s", (id, tolerance) => {
  const { inputs, expected, checked_with } = referenceEntry<TwoByTwo, Printed, Digits>(FILE, id);
  const digits = checked_with.values;
  const sequences = [
    [inputs.AB_period1, inputs.AB_period2, "AB"],
    [inputs.BA_period1, inputs.BA_period2, "BA"],
  ] as const;
  const rows = sequences.flatMap(([first, second, order]) =>
    first.flatMap((y, i) => [
      { subject: `${order}${String(i)}`, period: 1, drug: order[0] ?? "", y },
      {
        subject: `${order}${String(i)}`,
        period: 2,
        drug: order[1] ?? "",
        y: second[i] ?? Number.NaN,
      },
    ]),
  );

  it("by least squares: a level for each subject, two periods, two treatments", () => {
    const y = rows.map((row) => row.y);
    const columns = [
      y.map(() => 1),
      ...indicators(rows.map((row) => row.subject)),
      rows.map((row) => (row.period === 1 ? 1 : 0)),
      rows.map((row) => (row.drug === "A" ? 1 : 0)),
    ];
    const unit = (at: number) => columns.map((_, j) => (j === columns.length + at ? 1 : 0));
    const treatment = estimateOf(columns, y, unit(-1));
    expectAbs(treatment.value, expected.treatment_A_minus_B, tolerance.treatment);
    if (expected.t !== undefined) expectAbs(treatment.t, expected.t, tolerance.t);
    if (expected.se !== undefined) expectAbs(treatment.se, expected.se, 0.051);
    if (expected.p !== undefined) expectAbs(treatment.p, expected.p, 0.00051);
    expect(treatment.df).toBe(expected.df);
    expectDigits(treatment.value, digits.treatment_A_minus_B, 13, "treatment");
    expectDigits(treatment.se, digits.se, 13, "se");
    expectDigits(treatment.p, digits.p, 13, "p");
    for (const i of [0, 1] as const) {
      expectDigits(treatment.interval[i], digits.ci[i] ?? Number.NaN, 13, "interval");
    }
    const period = estimateOf(columns, y, unit(-2));
    expectDigits(period.value, digits.period1_minus_period2, 13, "period");
    expectDigits(period.t, digits.t_period, 13, "t of the period");
    expectDigits(period.p, digits.p_period, 13, "p of the period");
    expectDigits(residualSquares(columns, y) / treatment.df, digits.s2_within, 13, "s2");
  });

  it("by the comparison of half differences and of sums", () => {
    const half = sequences.map(([first, second]) =>
      first.map((y, i) => (y - (second[i] ?? Number.NaN)) / 2),
    );
    // A first less A second: twice the half difference of the treatments, with the period gone.
    const treatment = groups(half[1] ?? [], half[0] ?? []);
    expectDigits(treatment.value, digits.treatment_A_minus_B, 12, "treatment");
    expectDigits(treatment.se, digits.se, 13, "se");
    expect(treatment.df).toBe(digits.df);
    const sums = sequences.map(([first, second]) =>
      first.map((y, i) => y + (second[i] ?? Number.NaN)),
    );
    const carryover = groups(sums[1] ?? [], sums[0] ?? []);
    expectDigits(carryover.t, digits.carryover_t, 12, "carry-over");
    expectDigits(carryover.p, digits.carryover_p, 12, "p of the carry-over");
  });

  it("by riders with two runs each, the period left out", () => {
    const riders = [...new Set(rows.map((row) => row.subject))];
    const runs = rows.map(
      (row): MadeRun => ({ rider: row.subject, setup: row.drug, timeS: row.y }),
    );
    const settings = { drift: "none", plannedRuns: 2 } as const;
    const input = madeSession({ runs, riders, baseline: "B", settings });
    const pair = compareTogether(input)?.pairs[0];
    const t = (pair?.difference_s ?? Number.NaN) / (pair?.standard_error_s ?? Number.NaN);
    if (expected.paired_ignoring_period_t !== undefined) {
      expectAbs(t, expected.paired_ignoring_period_t, 0.0051);
    }
    expectDigits(pair?.difference_s, digits.paired_ignoring_period_mean, 13, "difference");
    expectDigits(t, digits.paired_ignoring_period_t, 13, "t");
    expect(pair?.df).toBe(riders.length - 1);
  });
});

interface Milk {
  readonly effects: readonly number[];
  readonly ms_resid: number;
  readonly df_resid: number;
  readonly AminusC: readonly number[];
  readonly carry?: readonly number[];
  readonly ss_treatment?: number;
  readonly ss_treat_adj?: number;
  readonly ss_carry_adj?: number;
}

/** Effects of the levels of a factor with two columns, adding up to zero. */
function effectContrasts(columns: number, at: number): readonly (readonly number[])[] {
  return [0, 1, 2].map((level) =>
    Array.from({ length: columns }, (_, j) =>
      j === at || j === at + 1 ? (j === at + level - 1 ? 1 : 0) - 1 / 3 : 0,
    ),
  );
}

// Data of Cochran & Cox (1957), Experimental Designs, p. 135; analysis worked out in R's lm().
it.each([
  ["no_carryover", "square"],
  ["carryover", "square"],
  ["carryover_common_periods", "common"],
] as const)("milk of three diets in two Latin squares: %s", (model, periods) => {
  const { inputs, expected } = referenceEntry<
    { sequence: string[]; y_by_period: number[][]; square: number[] },
    Record<"no_carryover" | "carryover" | "carryover_common_periods", Milk>
  >(FILE, "cochran-cox-cows-carryover");
  const wanted = expected[model];
  const rows = inputs.sequence.flatMap((order, cow) =>
    Array.from(order, (diet, period) => ({
      cow,
      diet,
      period: periods === "square" ? `${String(inputs.square[cow])}-${String(period)}` : period,
      after: order[period - 1] ?? "",
      y: inputs.y_by_period[cow]?.[period] ?? Number.NaN,
    })),
  );
  const y = rows.map((row) => row.y);
  const nuisance = [
    y.map(() => 1),
    ...indicators(rows.map((row) => row.cow)),
    ...indicators(rows.map((row) => row.period)),
  ];
  const diets = ["B", "C"].map((diet) => rows.map((row) => (row.diet === diet ? 1 : 0)));
  const after = ["B", "C"].map((diet) => rows.map((row) => (row.after === diet ? 1 : 0)));
  const carry = model === "no_carryover" ? [] : after;
  const columns = [...nuisance, ...diets, ...carry];
  const at = nuisance.length;
  effectContrasts(columns.length, at).forEach((contrast, level) => {
    const found = estimateOf(columns, y, contrast);
    expectDigits(found.value, wanted.effects[level] ?? Number.NaN, 13, "effect");
    expect(found.df).toBe(wanted.df_resid);
  });
  wanted.carry?.forEach((effect, level) => {
    const contrast = effectContrasts(columns.length, at + 2)[level] ?? [];
    expectDigits(estimateOf(columns, y, contrast).value, effect, 14, "carry-over");
  });
  const rest = residualSquares(columns, y);
  expectDigits(rest / wanted.df_resid, wanted.ms_resid, 13, "residual");
  // A less C: C's column taken away.
  const less = estimateOf(
    columns,
    y,
    columns.map((_, j) => (j === at + 1 ? -1 : 0)),
  );
  expectDigits(less.value, wanted.AminusC[0] ?? Number.NaN, 13, "A less C");
  expectDigits(less.se, wanted.AminusC[1] ?? Number.NaN, 13, "its error");
  const without = (left: readonly (readonly number[])[]): number => residualSquares(left, y) - rest;
  const ofDiets = wanted.ss_treatment ?? wanted.ss_treat_adj;
  if (ofDiets !== undefined) {
    expectDigits(without([...nuisance, ...carry]), ofDiets, 13, "squares of the diets");
  }
  if (wanted.ss_carry_adj !== undefined) {
    expectDigits(without([...nuisance, ...diets]), wanted.ss_carry_adj, 13, "of the carry-over");
  }
});
