import { describe, expect, it } from "vitest";
import { compareRiders } from "../../src/stats/compare.ts";
import { plannedFigures, planningOrder } from "../../src/stats/design.ts";
import { studentQuantile } from "../../src/stats/student-t.ts";
import { compareTogether, stackPlan } from "../../src/stats/together.ts";
import { type MadeRun, madeSession, normals } from "./made-session.ts";

const ABBA = ["A", "B", "B", "A"];

/** Riders taking turns, every second one from the other end; own level, slope and spread. */
function stack(
  riders: readonly string[],
  perRider: number,
  effectS: number,
  seed: number,
): MadeRun[] {
  const normal = normals(seed);
  return Array.from({ length: perRider }, (_, i) =>
    riders.map((rider, r): MadeRun => {
      const place = ABBA[(i + (r % 2) * 2) % 4] ?? "A";
      const level = 100 + 15 * r + 0.1 * r * i;
      return { rider, setup: place, timeS: level + (place === "B" ? effectS : 0) + normal() };
    }),
  ).flat();
}

describe("riders together", () => {
  it("is nothing for one rider", () => {
    expect(compareTogether(madeSession({ runs: stack(["R1"], 8, -2, 1) }))).toBeNull();
  });

  it("shows two riders the band without a claim", () => {
    const riders = ["R1", "R2"];
    const runs = stack(riders, 8, -4, 1);
    const together = compareTogether(madeSession({ runs, riders, isClosed: true }));
    const [pair] = together?.pairs ?? [];
    expect(pair?.band_s?.[1]).toBeLessThan(0);
    expect(pair).toMatchObject({
      verdict: null,
      called_at_run: null,
      more_runs: null,
      chance_within_plan: null,
    });
    expect(together?.end_of_day).toBeNull();
  });

  it("gives three riders one estimate, read at the stack's own plan", () => {
    const riders = ["R1", "R2", "R3"];
    const runs = stack(riders, 8, -2, 2);
    const input = madeSession({ runs, riders, settings: { plannedRuns: 8 } });
    const figures = stackPlan(input).figures;
    expect([figures?.runs, figures?.nuN]).toEqual([24, 24 - 7]);
    const [pair] = compareTogether(input)?.pairs ?? [];
    expect(pair).toMatchObject({ df: 17, runs: 12, baseline_runs: 12, verdict: "quicker" });
    expect(pair?.called_at_run).toBeLessThanOrEqual(24);
    // At the last word of N = 24: nuN 17 and z2_N 6 as in the reference's one rider of that size.
    const orders = riders.map((_, i) => planningOrder(["A", "B"], 8, i % 2 === 1));
    expect(plannedFigures(["A", "B"], orders, "linear").pair("B", "A")?.z2N).toBeCloseTo(6, 10);
    expect(pair?.multiplier).toBeCloseTo(2.3579, 3);
    // Each rider's own is wider.
    for (const rider of compareRiders(input)) {
      const own = rider.parts[0]?.pairs[0];
      const width = (band: readonly [number, number] | null | undefined): number =>
        band == null ? Number.POSITIVE_INFINITY : band[1] - band[0];
      expect(width(own?.band_s)).toBeGreaterThan(width(pair?.band_s));
    }
  });

  it("reckons the second rider's plan from the other end", () => {
    expect(planningOrder(["A", "B", "C"], 6, true)).toEqual(["C", "B", "A", "A", "B", "C"]);
    const settings = { plannedRuns: 7 };
    const figures = stackPlan(madeSession({ runs: [], riders: ["R1", "R2"], settings })).figures;
    const same = planningOrder(["A", "B"], 7);
    const mirrored = [same, planningOrder(["A", "B"], 7, true)];
    const pair = figures?.pair("B", "A")?.z2N;
    expect(pair).toBe(plannedFigures(["A", "B"], mirrored, "linear").pair("B", "A")?.z2N);
    expect(
      stackPlan(madeSession({ runs: [], settings: { plannedRuns: null } })).figures,
    ).toBeNull();
  });

  it("counts riders whose own plan is too short; their own pairs use the open band", () => {
    const riders = ["R1", "R2", "R3", "R4"];
    const runs = stack(riders, 6, -3, 3);
    const input = madeSession({ runs, riders, settings: { plannedRuns: 6 } });
    const [pair] = compareTogether(input)?.pairs ?? [];
    expect(pair).toMatchObject({ df: 24 - 9, verdict: "quicker" });
    const own = compareRiders(input)[0]?.parts[0]?.pairs[0];
    expect(own?.df).toBe(3);
    expect(own?.multiplier).not.toBe(pair?.multiplier);
  });

  it("forecasts the rest of everybody's plan", () => {
    const riders = ["R1", "R2", "R3"];
    const runs = stack(riders, 5, -0.8, 7).slice(0, 14);
    const input = madeSession({ runs, riders, settings: { plannedRuns: 8 } });
    const [pair] = compareTogether(input)?.pairs ?? [];
    expect(pair?.verdict).toBe("cannot-tell");
    expect(pair?.chance_within_plan).toBeGreaterThan(0);
    expect(pair?.chance_within_plan).toBeLessThan(1);
    if (pair?.more_runs != null) expect(pair.more_runs).toBeLessThanOrEqual(10);
  });

  it("forecasts nothing beyond the stack's plan, whoever rode more than a share of it", () => {
    const riders = ["R1", "R2", "R3"];
    const ofPlan = (plannedRuns: number) => {
      const runs = stack(riders, 8, -0.8, 7).filter((run, i) => run.rider === "R1" || i < 15);
      const input = madeSession({ runs, riders, settings: { plannedRuns } });
      return compareTogether(input)?.pairs[0];
    };
    // 8 + 5 + 5 runs: of a plan of 3 x 6 none is left, though R2 and R3 could ride one each.
    expect(ofPlan(6)).toMatchObject({ runs: 9, baseline_runs: 9, verdict: "cannot-tell" });
    expect(ofPlan(6)?.chance_within_plan).toBeNull();
    expect(ofPlan(7)?.chance_within_plan).toBeGreaterThan(0);
  });

  it("takes a set-up that is new to any rider by that rider's first runs", () => {
    const riders = ["R1", "R2", "R3"];
    const runs = stack(riders, 8, 2, 2);
    const pair = (newTo: Record<string, string[]>) =>
      compareTogether(madeSession({ runs, riders, newTo, settings: { plannedRuns: 8 } }))?.pairs[0];
    expect(pair({})).toMatchObject({ verdict: "slower", new_to: false });
    const isNew = pair({ R2: ["B"] });
    expect(isNew).toMatchObject({ new_to: true });
    expect(isNew?.difference_s).toBeCloseTo(pair({})?.difference_s ?? Number.NaN, 9);
  });

  it("adds up struck-out sectors here as well", () => {
    const riders = ["R1", "R2", "R3"];
    const runs = stack(riders, 8, -3, 5).map((run, i): MadeRun => {
      const first = 40 + ((i * 7) % 5) / 10;
      const sectorS = [first, (run.timeS ?? 0) - first];
      return { ...run, sectorS, voidSectors: i === 4 ? [1] : [] };
    });
    const sectors = ["Roots", "Gully"];
    const input = madeSession({ runs, riders, sectors, settings: { plannedRuns: 8 } });
    const [pair] = compareTogether(input)?.pairs ?? [];
    expect(pair?.df).toBe(16.5);
    expect(pair?.verdict).toBe("quicker");
  });
});

describe("a rider who joins after run 1", () => {
  const riders = ["R1", "R2", "R3", "R4"];
  const plannedRiders = ["R1", "R2", "R3"];
  const made = { runs: stack(riders, 8, -2, 3), riders, settings: { plannedRuns: 8 } };

  it("is compared with the others, whose plan stays as large as it was", () => {
    const joined = stackPlan(madeSession({ ...made, plannedRiders }));
    const three = stackPlan(madeSession({ ...made, riders: plannedRiders }));
    expect(joined.endRun).toBe(24);
    expect(joined.figures?.nuN).toBe(three.figures?.nuN);
    expect(joined.figures?.pair("B", "A")?.z2N).toBe(three.figures?.pair("B", "A")?.z2N);
    expect(stackPlan(madeSession(made)).endRun).toBe(32);
    const [pair] = compareTogether(madeSession({ ...made, plannedRiders }))?.pairs ?? [];
    expect(pair?.runs).toBe(16);
  });

  it("has the open band where nobody was there before", () => {
    const late = madeSession({ ...made, plannedRiders: [] });
    expect(stackPlan(late)).toMatchObject({ figures: null, endRun: null });
    const [pair] = compareTogether(late)?.pairs ?? [];
    const { df, multiplier } = pair ?? { df: null, multiplier: null };
    const [known] = compareTogether(madeSession(made))?.pairs ?? [];
    expect(df).toBe(known?.df);
    expect(multiplier).toBeGreaterThan(known?.multiplier ?? Number.NaN);
  });
});

describe("at the end of a day", () => {
  const riders = ["R1", "R2", "R3"];
  const runs = stack(riders, 8, -2, 4);

  it("the mean of the riders' own differences by plain t, in a closed session only", () => {
    const made = { runs, riders, settings: { plannedRuns: 8 } };
    expect(compareTogether(madeSession(made))?.end_of_day).toBeNull();
    const input = madeSession({ ...made, isClosed: true });
    const own = compareRiders(input).map((r) => r.parts[0]?.pairs[0]?.difference_s ?? Number.NaN);
    const mean = own.reduce((a, b) => a + b, 0) / 3;
    const sd = Math.sqrt(own.reduce((s, d) => s + (d - mean) ** 2, 0) / 2);
    const half = (studentQuantile(0.025, 2) * sd) / Math.sqrt(3);
    const [day] = compareTogether(input)?.end_of_day ?? [];
    expect(day).toMatchObject({ setup: "B", baseline: "A", riders: 3 });
    expect(day?.mean_s).toBeCloseTo(mean, 9);
    expect(day?.band_s[0]).toBeCloseTo(mean - half, 9);
    expect(day?.band_s[1]).toBeCloseTo(mean + half, 9);
  });

  it("weighs the riders where one has ridden far more", () => {
    const more = stack(["R1"], 40, -2, 9);
    const others = runs.filter((run) => run.rider !== "R1");
    const input = madeSession({ runs: [...more, ...others], riders, isClosed: true });
    const own = compareRiders(input).map((r) => r.parts[0]?.pairs[0]?.difference_s ?? Number.NaN);
    const plain = own.reduce((a, b) => a + b, 0) / 3;
    const [day] = compareTogether(input)?.end_of_day ?? [];
    expect(Math.abs((day?.mean_s ?? 0) - plain)).toBeGreaterThan(1e-6);
  });

  it("leaves a pair out that fewer than three riders have an error for", () => {
    const two = runs.filter((run) => run.rider !== "R3");
    const input = madeSession({ runs: two, riders, isClosed: true, setups: ["A", "B", "C"] });
    expect(compareTogether(input)?.end_of_day).toEqual([]);
  });
});
