// What an order is worth beside swapping back and forth.
import { describe, expect, it } from "vitest";
import type { DriftModel } from "../../src/domain/session.ts";
import { planningOrder } from "../../src/stats/design.ts";
import { type OrderWorth, orderWorths } from "../../src/stats/order-worth.ts";

function worthOf(order: string | readonly string[], drift: DriftModel = "linear"): OrderWorth {
  const rows = Array.from(order, (setup, i) => ({ block: "0 R1", setup, k: i + 1 }));
  const setups = [...new Set(["A", ...Array.from(order)])].toSorted();
  return worthIn(rows, setups, drift);
}

function worthIn(
  rows: Parameters<typeof orderWorths>[0],
  setups: readonly string[],
  drift: DriftModel,
): OrderWorth {
  const [worth] = orderWorths(rows, setups, drift, [{ candidate: "B", baseline: "A" }]);
  if (worth === undefined) throw new Error("one pair, one answer");
  return worth;
}

describe("an order in halves", () => {
  it("is one that was never swapped back, from four runs of the pair on", () => {
    for (const order of ["AABB", "AAAB", "BBBBAAAA", "AAACBBB"]) {
      expect(worthOf(order), order).toMatchObject({ isOneChange: true, isInHalves: true });
    }
    expect(worthOf("ABB").isInHalves).toBe(false);
    expect(worthOf("ACCCB").isInHalves).toBe(false);
  });

  it("is one that the day's trend takes half the information of", () => {
    expect(worthOf("AAAAABABBBBB")).toMatchObject({ isOneChange: false, isInHalves: true });
    // A curve needs the order to go back and forth more than once.
    expect(worthOf("ABBBBBAA", "learning").isInHalves).toBe(true);
    expect(worthOf("ABBBBBAA", "linear").isInHalves).toBe(false);
  });

  it("is noticed although no trend was put into the model", () => {
    expect(worthOf("AAAAABABBBBB", "none").isInHalves).toBe(true);
    expect(worthOf("ABBAABBAABBA", "none").isInHalves).toBe(false);
  });

  it("is never a mirrored or alternating one, nor one with few runs of a set-up", () => {
    for (const drift of ["none", "linear", "learning"] as const) {
      for (let n = 4; n <= 24; n += 1) {
        for (const setups of [
          ["A", "B"],
          ["A", "B", "C"],
          ["A", "B", "C", "D"],
        ]) {
          expect(worthOf(planningOrder(setups, n), drift).isInHalves, `${drift} ${String(n)}`).toBe(
            false,
          );
        }
      }
      expect(worthOf("ABABABABABAB", drift).isInHalves).toBe(false);
    }
    expect(worthOf("AAABAAAAABAAA").isInHalves).toBe(false);
  });

  it("is looked for day by day: a day for each set-up says nothing about them", () => {
    const rows = Array.from("AAABBB", (setup, i) => ({
      block: i < 3 ? "0 R1" : "1 R1",
      setup,
      k: (i % 3) + 1,
    }));
    const worth = worthIn(rows, ["A", "B"], "linear");
    expect(worth).toMatchObject({ isOneChange: true, isInHalves: true });
    // ABB on both days: 2/3 of each day's information less the trend's share, by hand 2 x 1/6.
    expect(worth.alternating?.z2).toBeCloseTo(2 / 6, 10);
  });
});

it("gives the information and degrees of freedom of swapping back and forth", () => {
  // ABBA ABBA: a quarter of the runs, nothing lost to a straight trend; N - 3 degrees of freedom, a
  // little less where the set-ups' shares of them differ.
  const { alternating } = worthOf("AAAABBBB");
  expect(alternating?.z2).toBeCloseTo(2, 10);
  expect(alternating?.rankDf).toBe(5);
  expect(alternating?.equalDf).toBeCloseTo(5, 1);
});
