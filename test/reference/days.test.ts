import { describe, expect, it } from "vitest";
import { logEvidence, planPhi } from "../../src/stats/band.ts";
import { bandPlan, multipliersAt } from "../../src/stats/band-in-force.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { sortedRuns } from "../../src/stats/counted-runs.ts";
import { layoutOf, plannedFigures, planningOrder } from "../../src/stats/design.ts";
import { chancesOfVerdict, designsAhead } from "../../src/stats/forecast.ts";
import { fitRider } from "../../src/stats/rider-fit.ts";
import { RowBank } from "../../src/stats/row-bank.ts";
import { sectorwiseFit, sectorwisePair } from "../../src/stats/sector-void.ts";
import type { MadeRun } from "../stats/made-session.ts";
import { countedRuns, madeSession } from "../stats/made-session.ts";
import { expectAbs, expectRel, namedCase, number } from "./cases.ts";

type Drift = "none" | "linear" | "learning";

describe("multipliers before and at the end", () => {
  interface Row {
    readonly drift: Drift;
    readonly N: number;
    readonly z2_N: number;
    readonly nuN: number;
    readonly z2_before: number;
    readonly m_before: number;
    readonly m_last: number;
    readonly first_finite: number;
  }
  const { expected, tolerance } = namedCase<unknown, Row[]>(
    "bands.json",
    "multipliers_before_and_at_the_end",
  );

  it.each(expected.map((row) => [`${row.drift} ${String(row.N)}`, row] as const))(
    "agree with R for %s runs",
    (_, row) => {
      const order = planningOrder(["A", "B"], row.N);
      const figures = plannedFigures(["A", "B"], [order], row.drift);
      const z2N = figures.pair("B", "A")?.z2N ?? Number.NaN;
      expect(figures.nuN).toBe(row.nuN);
      expectRel(z2N, row.z2_N, tolerance.value);
      const bands = bandPlan("plan", 0.05, { nuN: figures.nuN, z2N }, row.N);
      const rows = order.map((setup, i) => ({ block: "R1", setup, k: i + 1 }));
      const pairs = [{ candidate: "B", baseline: "A" }];
      const looks = designsAhead([], rows, ["A", "B"], row.drift, pairs).map(([pair]) => pair);
      const multiplier = (n: number): number => {
        const look = looks[n];
        if (look === undefined || look.rankDf < 1) return Number.POSITIVE_INFINITY;
        return multipliersAt(bands.at(n), look.rankDf, look.z2).multiplier;
      };
      expectRel(looks[row.N - 1]?.z2 ?? null, row.z2_before, tolerance.value);
      expectRel(multiplier(row.N - 1), row.m_before, tolerance.value);
      expectRel(multiplier(row.N), row.m_last, tolerance.value);
      const first = looks.findIndex((__, n) => Number.isFinite(multiplier(n)));
      expect(first).toBe(row.first_finite);
    },
  );
});

interface Sequence {
  readonly setup: readonly string[];
  readonly y: readonly number[];
  readonly N: number;
  readonly end?: number;
  readonly announced_after?: number;
  readonly drift: string;
  readonly alpha: number;
  readonly mode?: string;
  readonly phi?: number;
  readonly pair?: readonly [string, string];
  readonly margin?: number | null;
}
interface SequenceLook {
  readonly n: number;
  readonly est: number;
  readonly se: number;
  readonly s?: number;
  readonly nu: number;
  readonly z2: number;
  readonly log_e?: number;
  readonly L?: number;
  readonly multiplier: number | string;
  readonly inner_multiplier?: number | string;
  readonly lo: number | string;
  readonly hi: number | string;
  readonly inner_lo?: number | string;
  readonly inner_hi?: number | string;
  readonly verdict: string;
  readonly cautious?: number;
}
interface SequenceExpected {
  readonly z2_N?: number;
  readonly nuN?: number;
  readonly phi?: number;
  readonly looks: readonly SequenceLook[];
}

function bandEnd(band: readonly [number, number] | null | undefined, i: 0 | 1): number {
  if (band == null) return i === 0 ? Number.NEGATIVE_INFINITY : Number.POSITIVE_INFINITY;
  return band[i];
}

describe("whole days, look by look, against R", () => {
  it.each([
    ["bands.json", "sequence_12"],
    ["bands.json", "no_difference_by_the_inner_band_20"],
    ["bands.json", "end_moved_forward_20_to_16"],
    ["bands.json", "overtime_12_plus_3"],
    ["bands.json", "three_setups_24"],
    ["bands.json", "learning_drift_20"],
    ["statistics.json", "sequence_open_12"],
    ["statistics.json", "sequence_open_20"],
  ])("%s %s", (file, name) => {
    const { inputs, expected, tolerance } = namedCase<Sequence, SequenceExpected>(file, name);
    const setups = [...new Set(inputs.setup)].sort();
    const [baseline, candidate] = inputs.pair ?? ["A", "B"];
    const isOpen = inputs.mode === "open";
    const session = (n: number) =>
      madeSession({
        runs: countedRuns(inputs.setup.slice(0, n), inputs.y),
        setups,
        plannedEnds:
          inputs.end === undefined
            ? []
            : [{ rider: "R1", endRun: inputs.end, announcedAtRun: inputs.announced_after ?? 0 }],
        settings: {
          plannedRuns: inputs.N,
          drift: inputs.drift as Drift,
          bands: isOpen ? "open" : "plan",
          marginS: inputs.margin ?? null,
          spreads: "common",
        },
      });
    const calledAt = expected.looks.find(
      (look) => !["cannot-tell", "cant_tell"].includes(look.verdict),
    )?.n;
    for (const look of expected.looks) {
      const input = session(look.n);
      const [rider] = compareRiders(input);
      const pair = rider?.parts[0]?.pairs.find((p) => p.setup === candidate);
      const what = `run ${String(look.n)}`;
      const tol = tolerance.value;
      expectRel(pair?.difference_s ?? null, look.est, tol, what);
      expectRel(pair?.standard_error_s ?? null, look.se, tol, what);
      expect(pair?.df).toBe(look.nu);
      if (look.s !== undefined) expectRel(rider?.spread_s ?? null, look.s, tol, what);
      if (look.cautious !== undefined)
        expectRel(pair?.cautious_s ?? null, look.cautious, tol, what);
      expectRel(pair?.multiplier ?? Number.POSITIVE_INFINITY, number(look.multiplier), tol, what);
      expectRel(bandEnd(pair?.band_s, 0), number(look.lo), tol, what);
      expectRel(bandEnd(pair?.band_s, 1), number(look.hi), tol, what);
      if (look.inner_lo !== undefined && look.inner_hi !== undefined) {
        expectRel(bandEnd(pair?.inner_band_s, 0), number(look.inner_lo), tol, what);
        expectRel(bandEnd(pair?.inner_band_s, 1), number(look.inner_hi), tol, what);
      }
      expect(pair?.verdict, what).toBe(look.verdict === "cant_tell" ? "cannot-tell" : look.verdict);
      expect(pair?.called_at_run, what).toBe(
        calledAt !== undefined && calledAt <= look.n ? calledAt : null,
      );
      const advised = fitRider(input, "R1")?.pairBand(candidate, baseline);
      expectRel(advised?.z2 ?? null, look.z2, tol, what);
      if (look.L !== undefined && look.log_e !== undefined) {
        const limits = advised?.bands.at(look.n);
        expectRel(limits?.outerL ?? null, look.L, tol, what);
        const r = (limits?.phi ?? 0) / ((limits?.phi ?? 0) + look.z2);
        // In overtime the reference gives ln e of the plan's phi.
        const phi = planPhi(expected.z2_N ?? Number.NaN);
        const isOvertime = look.n > (inputs.end ?? inputs.N);
        const share = isOvertime ? r : phi / (phi + look.z2);
        expectAbs(logEvidence(look.est / look.se, look.nu, share), look.log_e, 1e-6, what);
      }
    }
  });
});

interface VoidCase {
  readonly setup: readonly string[];
  readonly levels: readonly string[];
  readonly sector_y: readonly (readonly number[])[];
  readonly void: readonly (readonly boolean[])[];
  readonly drift: Drift;
}
interface VoidExpected {
  readonly sector_est: readonly number[];
  readonly sector_nu: readonly number[];
  readonly est: number;
  readonly C: readonly (readonly number[])[];
  readonly V: number;
  readonly se: number;
  readonly s: number;
  readonly z2: number;
  readonly nu: number;
  readonly multiplier_N20_alpha045: number;
}

describe("a sector struck out, not the run, against R", () => {
  it.each(["sector_void_none", "sector_void_same_run", "sector_void_three_setups"])(
    "%s",
    (name) => {
      const { inputs, expected, tolerance } = namedCase<VoidCase, VoidExpected>("bands.json", name);
      const tol = tolerance.value;
      const runs = inputs.setup.map((setup, i): MadeRun => {
        const sectorS = inputs.sector_y.map((sector) => sector[i] ?? Number.NaN);
        const voidSectors = inputs.void.flatMap((isVoid, s) => (isVoid[i] === true ? [s + 1] : []));
        return { setup, sectorS, voidSectors, timeS: sectorS.reduce((a, b) => a + b, 0) };
      });
      const input = madeSession({
        runs,
        setups: inputs.levels,
        sectors: inputs.sector_y.map((_, s) => `Sector ${String(s + 1)}`),
        settings: { plannedRuns: 20, drift: inputs.drift, spreads: "common" },
      });
      const candidate = inputs.levels.at(-1) ?? "";

      const { counted } = sortedRuns(input, ["R1"]);
      const bank = new RowBank(
        layoutOf(counted, inputs.levels, inputs.drift),
        runs[0]?.sectorS?.length ?? 0,
      );
      for (const run of counted) bank.add(run);
      const fit = sectorwiseFit(bank, bank.classes);
      const best = ["B", candidate].find((setup) => {
        const pair = fit && sectorwisePair(fit, setup, "A");
        return Math.abs((pair?.differenceS ?? Number.NaN) - expected.est) < 1e-9;
      });
      expect(best).toBeDefined();
      const pair = fit && sectorwisePair(fit, best ?? "", "A");
      expectRel(pair?.variance ?? null, expected.V, tol);
      expectRel(pair?.z2 ?? null, expected.z2, tol);
      expected.C.forEach((row, s) => {
        row.forEach((c, t) => {
          expectRel(fit?.covariance[s]?.[t] ?? null, c, tol);
        });
      });

      const [rider] = compareRiders(input);
      const whole = rider?.parts[0]?.pairs.find((p) => p.setup === best);
      expectRel(whole?.difference_s ?? null, expected.est, tol);
      expectRel(whole?.standard_error_s ?? null, expected.se, tol);
      expectRel(whole?.df ?? null, expected.nu, tol);
      expectRel(rider?.spread_s ?? null, expected.s, tol);
      expected.sector_est.forEach((est, s) => {
        const sector = rider?.parts[s + 1]?.pairs.find((p) => p.setup === best);
        expectRel(sector?.difference_s ?? null, est, tol);
        expect(sector?.df).toBe(expected.sector_nu[s]);
      });
      // The reference spends 0.045 whatever the number of set-ups, before the end of a plan of 20.
      const figures = plannedFigures(
        inputs.levels,
        [planningOrder(inputs.levels, 20)],
        inputs.drift,
      );
      const z2N = figures.pair(best ?? "", "A")?.z2N ?? Number.NaN;
      const bands = bandPlan("plan", 0.05, { nuN: figures.nuN, z2N }, 20);
      const { multiplier } = multipliersAt(bands.beforeEnd, expected.nu, expected.z2);
      expectRel(multiplier, expected.multiplier_N20_alpha045, tol);
      if (inputs.levels.length === 2) {
        expectRel(whole?.multiplier ?? null, expected.multiplier_N20_alpha045, tol);
      }
    },
  );
});

it("forecasts the last word as R does", () => {
  const { inputs, expected, tolerance } = namedCase<
    { N: number; threshold: number },
    {
      m_N: number;
      z2_N: number;
      rows: {
        est: number;
        s: number;
        n: number;
        z2: number;
        nu: number;
        P_N: number;
        stop: boolean;
      }[];
    }
  >("bands.json", "forecast_at_the_last_word_20");
  for (const row of expected.rows) {
    const now = { differenceS: row.est, spreadS: row.s, z2: row.z2, df: row.nu };
    const halfWidthS = (expected.m_N * row.s) / Math.sqrt(expected.z2_N);
    const looks = [{ z2: expected.z2_N, halfWidthS, innerHalfWidthS: 0 }];
    const [chance = Number.NaN] = chancesOfVerdict(now, looks, null);
    expectRel(chance, row.P_N, tolerance.value);
    expect(chance < inputs.threshold).toBe(row.stop);
  }
});
