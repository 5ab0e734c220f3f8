// The warning about struck-out runs of one set-up: when, and in which words.
import { describe, expect, it } from "vitest";
import { fisherExact } from "../../../src/stats/fisher-exact.ts";
import { isLopsided } from "../../../src/summary/remarks/lopsided-voids.ts";
import type { MadeRun } from "../../stats/made-session.ts";
import { remarksOf, textsOf } from "./remarks-of.ts";

/** Alternating runs, the first so many of each set-up struck out. */
function day(runs: Readonly<Record<string, readonly [number, number]>>): MadeRun[] {
  return Object.entries(runs).flatMap(([setup, [struck, of]]) =>
    Array.from({ length: of }, (_, i): MadeRun => {
      const status = i < struck ? "void" : "ok";
      return { setup, status, timeS: 60 + ((7 * i) % 5) };
    }),
  );
}

describe("struck-out runs of one set-up", () => {
  it("three of nine against none of eight are warned of", () => {
    expect(remarksOf({ runs: day({ A: [0, 8], B: [3, 9] }) }, "lopsided-voids")).toEqual([
      {
        level: "warn",
        kind: "lopsided-voids",
        rider: null,
        setup: "B",
        run: null,
        text: "3 of 9 runs on B were struck out, none of 8 on A: strike out only for causes that are not the set-up's doing",
      },
    ]);
  });

  it("those of the baseline likewise, and against each set-up that was ridden", () => {
    const runs = day({ A: [5, 9], B: [0, 9], C: [4, 9] });
    const texts = textsOf({ runs, setups: ["A", "B", "C", "D"] }, "lopsided-voids");
    expect(texts).toEqual([
      expect.stringMatching(/^5 of 9 runs on A were struck out, none of 9 on B:/),
    ]);
  });

  it("a struck-out sector counts, and is said", () => {
    const sectorS = [30, 30];
    const runs = day({ A: [0, 8], B: [2, 8] }).map((run) => ({ ...run, sectorS }));
    const inPart = runs.map((run, i) => (i === 15 ? { ...run, voidSectors: [1] } : run));
    const sectors = ["Roots", "Gully"];
    expect(textsOf({ runs, sectors }, "lopsided-voids")).toEqual([]);
    expect(textsOf({ runs: inPart, sectors }, "lopsided-voids")[0]).toMatch(
      /^3 of 8 runs on B were struck out in whole or in part, none of 8 on A/,
    );
  });

  it("warm-ups and runs without a finish are not reckoned with", () => {
    const warm: MadeRun[] = Array.from({ length: 4 }, () => ({
      setup: "B",
      timeS: 70,
      status: "warm-up",
    }));
    const off: MadeRun[] = Array.from({ length: 4 }, () => ({
      setup: "B",
      timeS: null,
      status: "dnf",
    }));
    expect(
      textsOf({ runs: [...warm, ...day({ A: [0, 8], B: [3, 9] }), ...off] }, "lopsided-voids")[0],
    ).toMatch(/^3 of 9 runs on B/);
  });

  it("few or even ones are passed over, and where there is no other set-up", () => {
    expect(textsOf({ runs: day({ A: [0, 8], B: [2, 8] }) }, "lopsided-voids")).toEqual([]);
    expect(textsOf({ runs: day({ A: [2, 8], B: [4, 8] }) }, "lopsided-voids")).toEqual([]);
    expect(textsOf({ runs: day({ A: [0, 4], B: [3, 30] }) }, "lopsided-voids")).toEqual([]);
    expect(textsOf({ runs: day({ B: [3, 9] }) }, "lopsided-voids")).toEqual([]);
    expect(textsOf({ runs: [] }, "lopsided-voids")).toEqual([]);
  });
});

describe("the rule", () => {
  /** Probability of a warning with n runs on each and these shares struck out, every case added up. */
  function warned(
    n: number,
    [shareA, shareB]: readonly [number, number],
    rule = isLopsided,
  ): number {
    const binomial = (share: number): number[] => {
      let chance = (1 - share) ** n;
      return Array.from({ length: n + 1 }, (_, k) => {
        const own = chance;
        chance *= ((n - k) * share) / ((k + 1) * (1 - share));
        return own;
      });
    };
    const [onA, onB] = [binomial(shareA), binomial(shareB)];
    let sum = 0;
    for (const [a, chanceA] of onA.entries()) {
      for (const [b, chanceB] of onB.entries()) {
        const share = (count: number) => ({ setup: "", count, of: n });
        const [more, fewer] = [share(Math.max(a, b)), share(Math.min(a, b))];
        if (rule({ more, fewer, p: fisherExact(more, fewer) })) sum += chanceA * chanceB;
      }
    }
    return sum;
  }

  it("warns on at most nine days in a hundred where voids are even", () => {
    for (const n of [6, 10, 15, 20, 50]) {
      for (const share of [0.05, 0.1, 0.2]) expect(warned(n, [share, share])).toBeLessThan(0.09);
    }
  });

  it("finds twice as many lopsided days as the test alone", () => {
    const lopsided = [0.03, 0.25] as const;
    expect(warned(10, lopsided)).toBeCloseTo(0.355, 3);
    expect(warned(10, lopsided, ({ p }) => p < 0.1)).toBeCloseTo(0.17, 3);
  });
});
