// The opening: drawn, mirrored, and served by counted runs.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { adviseNext } from "../../src/advisor/next-setup.ts";
import { openingOrder, unservedPlaces } from "../../src/advisor/opening.ts";
import { seededRandom, shuffled } from "../../src/domain/seeded.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { type RunGiven, sessionOf } from "./sessions.ts";

const SEED = 20260509;
const setupsUpTo = (count: number): readonly string[] => ["A", "B", "C", "D", "E"].slice(0, count);

describe("openingOrder", () => {
  it("rides every set-up once, then back", () => {
    fc.assert(
      fc.property(fc.integer(), fc.integer({ min: 2, max: 5 }), fc.nat(3), (seed, count, rider) => {
        const setups = setupsUpTo(count);
        const order = openingOrder(setups, seed, rider);
        expect(order).toHaveLength(2 * count);
        expect(order.toReversed()).toEqual(order);
        expect(new Set(order.slice(0, count))).toEqual(new Set(setups));
      }),
      { seed: SEED },
    );
  });

  it("is the same for the same seed, and the other way round for every second rider", () => {
    const first = openingOrder(setupsUpTo(4), 7, 0);
    expect(openingOrder(setupsUpTo(4), 7, 2)).toEqual(first);
    const there = first.slice(0, 4).toReversed();
    expect(openingOrder(setupsUpTo(4), 7, 1)).toEqual([...there, ...there.toReversed()]);
  });

  it("draws each of the six orders of three about equally often", () => {
    const counts = new Map<string, number>();
    for (let seed = 0; seed < 6000; seed += 1) {
      const order = openingOrder(setupsUpTo(3), seed, 0).slice(0, 3).join("");
      counts.set(order, (counts.get(order) ?? 0) + 1);
    }
    expect(counts.size).toBe(6);
    // Chi-square on 5 degrees of freedom, upper 0.1 % point 20.5 (printed tables).
    const chiSquare = [...counts.values()].reduce((sum, n) => sum + (n - 1000) ** 2 / 1000, 0);
    expect(chiSquare).toBeLessThan(20.5);
  });
});

describe("unservedPlaces", () => {
  it("gives back every place that the counted runs have not served, in order", () => {
    const opening = ["B", "A", "A", "B"];
    const places = (counted: readonly string[]) =>
      unservedPlaces(opening, counted).map(({ place }) => place);
    expect(places([])).toEqual([1, 2, 3, 4]);
    expect(places(["B"])).toEqual([2, 3, 4]);
    expect(places(["A"])).toEqual([1, 3, 4]);
    expect(places(["A", "A", "A"])).toEqual([1, 4]);
    expect(places(["B", "A", "A", "B"])).toEqual([]);
  });
});

describe("the opening as it is suggested", () => {
  const suggestion = (runs: readonly RunGiven[], seed: number) => {
    const input = sessionOf({ setups: ["A", "B", "C"], runs, settings: { seed } });
    return adviseNext(input, compareRiders(input)).next;
  };

  it("is followed place by place", () => {
    const order = openingOrder(["A", "B", "C"], 5, 0);
    const runs: RunGiven[] = [1, 2, 3, 4].map(() => ({ setup: "A", status: "warm-up" }));
    expect(suggestion([], 5).setup).toBe(order[0]);
    for (const [i, setup] of order.entries()) {
      const next = suggestion(runs, 5);
      expect(next.setup).toBe(setup);
      expect(next.because).toContain(`opening, run ${String(i + 1)} of 6`);
      runs.push({ setup });
    }
    expect(suggestion(runs, 5).because).not.toContain("opening");
  });

  it.each(["void", "dnf", "unsure"] as const)("a run marked %s is ridden again", (status) => {
    const [first = "", second = ""] = openingOrder(["A", "B", "C"], 5, 0);
    expect(suggestion([{ setup: first }, { setup: second, status }], 5).setup).toBe(second);
  });

  it("another set-up ridden out of turn serves its own place", () => {
    const [first, second, third = ""] = openingOrder(["A", "B", "C"], 5, 0);
    expect(suggestion([{ setup: third }], 5).setup).toBe(first);
    expect(suggestion([{ setup: third }, { setup: first ?? "" }], 5).setup).toBe(second);
  });
});

describe("seededRandom", () => {
  it("gives known numbers for a known seed", () => {
    // Worked out by hand-written C of the same three lines, uint32_t throughout.
    const random = seededRandom(1);
    expect(random() * 2 ** 32).toBe(2693262067);
    expect(random() * 2 ** 32).toBe(11749833);
  });

  it("shuffles without losing anything", () => {
    fc.assert(
      fc.property(fc.array(fc.integer()), fc.integer(), (items, seed) => {
        const sorted = (list: readonly number[]) => list.toSorted((a, b) => a - b);
        expect(sorted(shuffled(items, seededRandom(seed)))).toEqual(sorted(items));
      }),
      { seed: SEED },
    );
  });
});
