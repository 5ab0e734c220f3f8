// Orders of runs against published and derived facts about them: what a session drift does to a
// difference, how much an order knows, and designs for carry-over.
import { describe, expect, it } from "vitest";
import { compareRiders } from "../../src/stats/compare.ts";
import { plannedFigures, planningOrder } from "../../src/stats/design.ts";
import { contrastWeights, factorise, leastSquares } from "../../src/stats/least-squares.ts";
import { fitRider } from "../../src/stats/rider-fit.ts";
import { studentQuantile } from "../../src/stats/student-t.ts";
import { countedRuns, madeSession } from "../stats/made-session.ts";
import { expectAbs, expectDigits, readData } from "./cases.ts";
import { referenceEntry } from "./entry.ts";
import { indicators } from "./textbook-model.ts";

const FILE = "12_design_of_experiments.json";

interface Planned {
  readonly name: string;
  readonly inputs: {
    readonly order: string;
    readonly driftDegree: number;
    readonly slopePerRun: number;
    readonly y: readonly number[];
  };
  readonly expected: Readonly<Record<string, number>>;
}
const { fixtures } = readData("planning.json") as { fixtures: readonly Planned[] };
const planned = (start: string): readonly Planned[] =>
  fixtures.filter((fixture) => fixture.name.startsWith(start));

/** Information on B against A with powers of run order up to the degree in the model. */
function informationOf(order: string, degree: number): number | undefined {
  const letters = Array.from(order);
  const middle = (letters.length + 1) / 2;
  const powers = Array.from({ length: degree }, (_, d) =>
    letters.map((_letter, i) => (i + 1 - middle) ** (d + 1)),
  );
  const columns = [
    letters.map(() => 1),
    ...powers,
    ...["B", "C"].map((name) => letters.map((letter) => (letter === name ? 1 : 0))),
  ].filter((column) => column.some((v) => v !== 0));
  const at = 1 + degree;
  return contrastWeights(
    factorise(columns),
    columns.map((_, j) => (j === at ? 1 : 0)),
  )?.z2;
}

describe("orders against a drift that they were not told of", () => {
  // Cox (1951), Biometrika 38; the Prouhet-Thue-Morse sequence. Contrasts derived.
  it("know less for every bit of the drift that they cannot tell from the set-ups", () => {
    const { inputs, expected } = referenceEntry<
      { sequences: string[] },
      { contrast_0_1_2_3: number[][] }
    >(FILE, "trend-contrasts");
    inputs.sequences.forEach((order, s) => {
      const n = order.length;
      const times = Array.from({ length: n }, (_, i) => 2 * i - (n - 1));
      const [level = Number.NaN, slope = Number.NaN] = expected.contrast_0_1_2_3[s] ?? [];
      expect(level).toBe(0);
      // With equal numbers z2 = n/4 (1 - slope^2 / (n sum t^2)); two runs leave nothing.
      const share = slope ** 2 / (n * times.reduce((sum, t) => sum + t * t, 0));
      const z2 = informationOf(order, 1);
      if (n === 2) expect(z2).toBeUndefined();
      else expectDigits(z2, (n / 4) * (1 - share), 14, order);
      // The bias of a plain difference of means, seconds a run: slope of t is two runs.
      const times1 = Array.from(order, (_, i) => i + 1);
      const [rider] = compareRiders(
        madeSession({ runs: countedRuns(Array.from(order), times1), settings: { drift: "none" } }),
      );
      if (n > 2) expectAbs(rider?.parts[0]?.pairs[0]?.difference_s ?? null, -slope / n, 1e-12);
    });
  });

  it("of 4, 8 and 12 runs with equal numbers are free of it as often as counted", () => {
    const { inputs, expected } = referenceEntry<
      { n: number[] },
      { linear_only: number[]; linear_and_quadratic: number[]; n8_linear_and_quadratic: string[] }
    >(FILE, "trend-free-counts");
    inputs.n.forEach((n, i) => {
      const free: string[] = [];
      const freeOfBoth: string[] = [];
      for (let bits = 0; bits < 2 ** (n - 1); bits += 1) {
        const order = `A${bits
          .toString(2)
          .padStart(n - 1, "0")
          .replaceAll("0", "A")
          .replaceAll("1", "B")}`;
        if (order.replaceAll("A", "").length !== n / 2) continue;
        const isFree = (degree: number): boolean =>
          Math.abs((informationOf(order, degree) ?? 0) - n / 4) < 1e-9;
        if (isFree(1)) free.push(order);
        if (isFree(2)) freeOfBoth.push(order);
      }
      expect(free).toHaveLength(expected.linear_only[i] ?? -1);
      expect(freeOfBoth).toHaveLength(expected.linear_and_quadratic[i] ?? -1);
      if (n === 8) expect(freeOfBoth).toEqual(expected.n8_linear_and_quadratic);
      if (n % 8 === 0) expect(free).toContain(planningOrder(["A", "B"], n).join(""));
    });
  });

  it.each(planned("naive-bias-linear-").map((fixture) => [fixture.name, fixture] as const))(
    "%s",
    (_, { inputs, expected }) => {
      const order = Array.from(inputs.order);
      const times = order.map((__, i) => 90 + inputs.slopePerRun * i);
      const pair = (drift: "none" | "linear") =>
        compareRiders(madeSession({ runs: countedRuns(order, times), settings: { drift } }))[0]
          ?.parts[0]?.pairs[0];
      expectAbs(pair("none")?.difference_s ?? null, expected["bias"] ?? Number.NaN, 1e-10);
      // The model that knows of the drift finds nothing.
      expectAbs(pair("linear")?.difference_s ?? null, 0, 1e-10);
    },
  );
});

describe("orders and curved drift, by least squares", () => {
  const orders = planned("order-variance-").filter(({ inputs }) => inputs.driftDegree === 2);

  it.each(orders.map((fixture) => [fixture.name, fixture] as const))("%s", (_, fixture) => {
    const { order } = fixture.inputs;
    const v = 1 / (informationOf(order, 2) ?? Number.NaN);
    expectDigits(v, fixture.expected["v"] ?? Number.NaN, 11, "v");
    const efficiency = 1 / (informationOf(order, 0) ?? Number.NaN) / v;
    expectDigits(efficiency, fixture.expected["efficiency"] ?? Number.NaN, 11, "efficiency");
  });

  it("a mirrored opening of three cannot tell a set-up from a curve", () => {
    const [fixture] = planned("order-singular-ABCCBA-deg2");
    const order = fixture?.inputs.order ?? "";
    const letters = Array.from(order);
    const k = letters.map((_, i) => i - 2.5);
    const columns = [k.map(() => 1), k, k.map((v) => v * v), ...indicators(letters)];
    expect(columns).toHaveLength(fixture?.expected["columns"] ?? -1);
    expect(factorise(columns).rank).toBe(fixture?.expected["rank"]);
    expect(informationOf(order, 2)).toBeUndefined();
  });

  // Fisher & Yates (1963), Statistical Tables, table XXIII: what is left of t and of t squared after
  // the powers below them.
  it("has the orthogonal polynomials", () => {
    const { inputs, expected } = referenceEntry<
      { n: number[] },
      { linear: number[][]; quadratic: number[][] }
    >(FILE, "orthogonal-polynomials");
    inputs.n.forEach((n, i) => {
      const t = Array.from({ length: n }, (_, j) => j + 1);
      const one = t.map(() => 1);
      for (const [left, table] of [
        [leastSquares([one], t).residuals, expected.linear[i]],
        [
          leastSquares(
            [one, t],
            t.map((v) => v * v),
          ).residuals,
          expected.quadratic[i],
        ],
      ] as const) {
        const [first = Number.NaN] = table ?? [];
        const unit = (left[0] ?? Number.NaN) / first;
        table?.forEach((coefficient, j) => {
          expectAbs((left[j] ?? Number.NaN) / unit, coefficient, 1e-12);
        });
      }
    });
  });
});

it("fits the day ABBAA as lm() of R does", () => {
  const [fixture] = planned("fit-day-ABBAA");
  const { order = "", y = [] } = fixture?.inputs ?? {};
  const wanted = fixture?.expected ?? {};
  const input = madeSession({ runs: countedRuns(Array.from(order), y) });
  const [rider] = compareRiders(input);
  const pair = rider?.parts[0]?.pairs[0];
  const error = pair?.standard_error_s ?? Number.NaN;
  expectDigits(pair?.difference_s, wanted["estimate"] ?? Number.NaN, 11, "estimate");
  expectDigits(error, wanted["se"] ?? Number.NaN, 11, "se");
  expectDigits(rider?.spread_s, wanted["s"] ?? Number.NaN, 11, "s");
  expect(pair?.df).toBe(wanted["df"]);
  const half = studentQuantile(0.025, pair?.df ?? Number.NaN) * error;
  expectDigits(half, wanted["halfWidth95"] ?? Number.NaN, 10, "half-width");
  expect(fitRider(input, "R1")?.pairBand("B", "A").standardErrorS).toBe(error);
});

// Sherman & Morrison (1950): the same by adding a run to what is known.
it("holds M of three columns before and after a run", () => {
  const [fixture] = planned("rank-one-ABBA-plus-B");
  const given = fixture as unknown as {
    inputs: { M: number[][]; x: number[] };
    expected: { M2: number[][] };
  };
  for (const [order, matrix] of [
    ["ABBA", given.inputs.M],
    ["ABBAB", given.expected.M2],
  ] as const) {
    const letters = Array.from(order);
    const columns = [
      letters.map((l) => (l === "A" ? 1 : 0)),
      letters.map((l) => (l === "B" ? 1 : 0)),
      letters.map((_, i) => i + 1),
    ];
    const { inverse } = leastSquares(
      columns,
      letters.map(() => 0),
    );
    matrix.forEach((row, i) => {
      row.forEach((m, j) => {
        expectDigits(inverse[i]?.[j], m, 11);
      });
    });
  }
});

// Williams (1949), Austral. J. Sci. Res. A 2; efficiencies as in Patterson & Lucas (1962), North
// Carolina Agr. Exp. Stn. Tech. Bull. 147, with subjects, periods, direct and residual effects.
it.each([
  [3, "williams-3"],
  [4, "williams-4"],
  [5, "williams-5"],
] as const)("balanced designs for %i set-ups know what the tables say", (size, id) => {
  const { rows, each_ordered_pair_count: count } = referenceEntry<
    unknown,
    { rows: number[][]; each_ordered_pair_count: number }
  >(FILE, id).expected;
  const letters = planned(id)[0]?.expected as unknown as {
    rows: string[];
    directEfficiencyPct: number;
    carryoverEfficiencyPct: number;
  };
  expect(rows.map((row) => row.map((v) => "ABCDE"[v - 1]).join("")).sort()).toEqual(
    [...letters.rows].sort(),
  );
  const runs = rows.flatMap((row, subject) =>
    row.map((setup, period) => ({ subject, period, setup, after: row[period - 1] ?? 0 })),
  );
  for (let a = 1; a <= size; a += 1) {
    for (let b = 1; b <= size; b += 1) {
      if (a === b) continue;
      expect(runs.filter((run) => run.setup === b && run.after === a)).toHaveLength(count);
    }
  }
  const levels = Array.from({ length: size - 1 }, (_, i) => i + 2);
  const columns = [
    runs.map(() => 1),
    ...indicators(runs.map((run) => run.subject)),
    ...indicators(runs.map((run) => run.period)),
    ...levels.map((level) => runs.map((run) => (run.setup === level ? 1 : 0))),
    ...levels.map((level) => runs.map((run) => (run.after === level ? 1 : 0))),
  ];
  const factor = factorise(columns);
  const first = columns.length - 2 * levels.length;
  const efficiency = (at: number): number => {
    const pair = contrastWeights(
      factor,
      columns.map((_, j) => (j === at ? 1 : 0)),
    );
    // Each set-up is ridden once in every row.
    return (200 / rows.length) * (pair?.z2 ?? Number.NaN);
  };
  const { E_d, E_r } = referenceEntry<unknown, { E_d: number[]; E_r: number[] }>(
    FILE,
    "crossover-efficiency",
  ).checked_with.values;
  expectDigits(efficiency(first), E_d[size - 3] ?? Number.NaN, 12, "direct");
  expectDigits(efficiency(first + levels.length), E_r[size - 3] ?? Number.NaN, 12, "residual");
  expectDigits(efficiency(first), letters.directEfficiencyPct, 10);
  expectDigits(efficiency(first + levels.length), letters.carryoverEfficiencyPct, 10);
});

it("plans with the drift in mind what the orders know", () => {
  const figures = plannedFigures(["A", "B"], [planningOrder(["A", "B"], 8)], "linear");
  expectDigits(figures.pair("B", "A")?.z2N, informationOf("ABBAABBA", 1) ?? Number.NaN, 14);
});
