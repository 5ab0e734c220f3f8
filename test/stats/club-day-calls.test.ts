// Simulated club days with a fixed seed: how often the riders together are told a difference that is
// not there, at any of the looks.
import { describe, expect, it } from "vitest";
import { compareTogether } from "../../src/stats/together.ts";
import { type MadeRun, madeSession, normals } from "./made-session.ts";

const RIDERS = ["R1", "R2", "R3", "R4", "R5", "R6"];
const ORDERS = ["ABBAAB", "BAABBA"];

interface ClubDay {
  /** True difference, in a rider's usual spread. */
  readonly effect: number;
  /** Spread of B over that of A. */
  readonly ratio: number;
}

/** Share of days on which a difference was called at any look. */
function called({ effect, ratio }: ClubDay, days: number, seed: number): number {
  const normal = normals(seed);
  let calls = 0;
  for (let day = 0; day < days; day += 1) {
    // Riders differ in spread by a fifth, in level and in trend.
    const riders = RIDERS.map((rider, i) => ({
      rider,
      order: ORDERS[i % 2] ?? "",
      spread: Math.exp(0.2 * normal()),
      slope: 0.2 * normal(),
      level: 90 + 8 * i,
    }));
    const runs = Array.from({ length: 6 }, (_, i) =>
      riders.map(({ rider, order, spread, slope, level }): MadeRun => {
        const isB = order[i] === "B";
        const scatter = spread * (isB ? ratio : 1) * normal();
        return {
          rider,
          setup: isB ? "B" : "A",
          timeS: level + slope * i + (isB ? effect : 0) + scatter,
        };
      }),
    ).flat();
    const settings = { plannedRuns: 6, spreads: "each" as const };
    const [pair] = compareTogether(madeSession({ runs, riders: RIDERS, settings }))?.pairs ?? [];
    calls += pair?.called_at_run == null ? 0 : 1;
  }
  return calls / days;
}

describe("six riders with six runs each", () => {
  it("are told of nothing on 19 days of 20, though B scatters twice as much as A", () => {
    // Three standard errors of a share of 5 %; 20 000 days gave 4.6 %.
    const noise = 3 * Math.sqrt((0.05 * 0.95) / 400);
    expect(called({ effect: 0, ratio: 2 }, 400, 21)).toBeLessThan(0.05 + noise);
  });

  // Smallest difference found on four days of five: (2.31 + 0.85) / sqrt(8.91) = 1.06 spreads; the
  // spread that differs between riders takes a little of it.
  it("find a difference of 1.06 spreads on about four days of five", () => {
    const found = called({ effect: -1.06, ratio: 1 }, 200, 22);
    expect(found).toBeGreaterThan(0.7);
    expect(found).toBeLessThan(0.9);
  });
});
