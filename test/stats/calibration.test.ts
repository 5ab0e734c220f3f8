// Simulated days with a fixed seed: how often a band that is read after every run misleads.
import { describe, expect, it } from "vitest";
import type { Verdict } from "../../src/domain/comparison.ts";
import type { BandKind, SpreadKind } from "../../src/domain/session.ts";
import { bandPlan } from "../../src/stats/band-in-force.ts";
import { layoutOf, plannedFigures, planningOrder } from "../../src/stats/design.ts";
import { Look } from "../../src/stats/look.ts";
import { RowBank } from "../../src/stats/row-bank.ts";
import { studentQuantile } from "../../src/stats/student-t.ts";
import { normals } from "./made-session.ts";

const N = 12;
const DAYS = 4000;

interface Plan {
  readonly bands: BandKind;
  readonly spreads: SpreadKind;
  readonly marginS: number | null;
  /** True difference, spreads. */
  readonly effectS: number;
  /** Spread of B, that of A being 1. */
  readonly spreadOfB?: number;
  /** Runs ridden; more than the plan is overtime. */
  readonly ridden?: number;
}

/** The verdicts of every look of every day: mirrored order, a tiring rider. */
function* simulatedDays(plan: Plan, seed: number): Generator<readonly Verdict[]> {
  const normal = normals(seed);
  const planned = plannedFigures(["A", "B"], [planningOrder(["A", "B"], N)], "linear");
  const z2N = planned.pair("B", "A")?.z2N ?? Number.NaN;
  const bands = bandPlan(plan.bands, 0.05, { nuN: planned.nuN, z2N }, N);
  const order = planningOrder(["A", "B"], plan.ridden ?? N);
  const rows = order.map((setup, i) => ({ block: "R1", setup, k: i + 1 }));
  const layout = layoutOf(rows, ["A", "B"], "linear");
  for (let day = 0; day < DAYS; day += 1) {
    const bank = new RowBank(layout, 0);
    yield rows.map((row, i) => {
      const spread = row.setup === "B" ? (plan.spreadOfB ?? 1) : 1;
      const effect = row.setup === "B" ? plan.effectS : 0;
      const timeS = 120 + 0.1 * i + effect + spread * normal();
      bank.add({ ...row, timeS, sectorS: null, voidSectors: [], isEarlyOnNew: false });
      const settings = {
        spreads: plan.spreads,
        marginS: plan.marginS,
        newSetups: new Set<string>(),
      };
      return new Look(bank, settings).pair(0, "B", "A", bands.at(i + 1)).verdict;
    });
  }
}

function share(plan: Plan, seed: number, isWrong: (verdict: Verdict) => boolean): number {
  let days = 0;
  for (const verdicts of simulatedDays(plan, seed)) days += verdicts.some(isWrong) ? 1 : 0;
  return days / DAYS;
}

/** Three standard errors of a share of 5 % over the days simulated. */
const NOISE = 3 * Math.sqrt((0.05 * 0.95) / DAYS);
const isDifference = (v: Verdict): boolean => v === "quicker" || v === "slower";

describe("a band read after every run", () => {
  it.each(["common", "each"] as const)(
    "of the plan calls a difference that is not there on at most 5 % of days, spreads %s",
    (spreads) => {
      const plan: Plan = { bands: "plan", spreads, marginS: null, effectS: 0 };
      const wrong = share(plan, 1, isDifference);
      expect(wrong).toBeLessThan(0.05 + NOISE);
      // Far below would be as much of a mistake: runs thrown away.
      expect(wrong).toBeGreaterThan(0.045 - NOISE);
    },
  );

  it("keeps its 5 % through overtime to three times the plan", () => {
    const plan: Plan = { bands: "plan", spreads: "common", marginS: null, effectS: 0, ridden: 36 };
    expect(share(plan, 2, isDifference)).toBeLessThan(0.05 + NOISE);
  });

  it("calls little where B scatters twice as much as A", () => {
    const plan: Plan = {
      bands: "plan",
      spreads: "each",
      marginS: null,
      effectS: 0,
      spreadOfB: 2,
    };
    expect(share(plan, 3, isDifference)).toBeLessThan(0.051 + NOISE);
  });

  it("without a planned end is well inside 5 %", () => {
    const plan: Plan = { bands: "open", spreads: "common", marginS: null, effectS: 0 };
    const wrong = share(plan, 4, isDifference);
    expect(wrong).toBeLessThan(0.02 + NOISE);
    expect(wrong).toBeGreaterThan(0);
  });

  it("says no difference worth having at the margin itself on at most 5 % of days", () => {
    const plan: Plan = { bands: "plan", spreads: "common", marginS: 1.5, effectS: 1.5 };
    const wrong = share(plan, 5, (v) => v === "no-difference" || v === "quicker");
    expect(wrong).toBeLessThan(0.05 + NOISE);
    expect(wrong).toBeGreaterThan(0.042 - NOISE);
  });

  it("finds a difference of two spreads on four days of five", () => {
    const plan: Plan = { bands: "plan", spreads: "common", marginS: null, effectS: -2 };
    const found = share(plan, 6, (v) => v === "quicker");
    expect(Math.abs(found - 0.823)).toBeLessThan(3 * Math.sqrt((0.823 * 0.177) / DAYS));
  });

  it("is needed: an ordinary band re-read misleads on some 18 % of days", () => {
    const normal = normals(7);
    let wrong = 0;
    const order = planningOrder(["A", "B"], N);
    const rows = order.map((setup, i) => ({ block: "R1", setup, k: i + 1 }));
    const layout = layoutOf(rows, ["A", "B"], "linear");
    for (let day = 0; day < DAYS; day += 1) {
      const bank = new RowBank(layout, 0);
      const isWrong = rows.some((row, i) => {
        bank.add({ ...row, timeS: normal(), sectorS: null, voidSectors: [], isEarlyOnNew: false });
        const settings = {
          spreads: "common" as const,
          marginS: null,
          newSetups: new Set<string>(),
        };
        const limits = { phi: 1, outerL: 1, innerL: 1 };
        const { figures } = new Look(bank, settings).pair(0, "B", "A", limits).estimate;
        if (i < 3 || figures?.error == null) return false;
        const t = Math.abs(figures.differenceS) / figures.error.standardErrorS;
        return t > studentQuantile(0.025, figures.error.df);
      });
      wrong += isWrong ? 1 : 0;
    }
    expect(Math.abs(wrong / DAYS - 0.183)).toBeLessThan(3 * Math.sqrt((0.183 * 0.817) / DAYS));
  });
});
