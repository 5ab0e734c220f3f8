// Odd entries and set-ups entered at different speeds: what is found, and how often for nothing.
import { describe, expect, it } from "vitest";
import { entriesBySetup, entryGap, entryWorthS, oddEntries } from "../../src/stats/entry-speeds.ts";
import { madeSession, normals } from "./made-session.ts";

/** Alternating runs ABBA with these entry speeds, and the input they belong to. */
function entered(speeds: readonly number[], status: "ok" | "void" = "ok") {
  const input = madeSession({
    runs: speeds.map((_, i) => ({
      setup: "ABBA"[i % 4] ?? "A",
      timeS: 60,
      status: i === 0 ? status : "ok",
    })),
  });
  return { input, entries: speeds.map((speedMS, i) => ({ runId: String(i + 1), speedMS })) };
}

const oddOf = ({ input, entries }: ReturnType<typeof entered>) => oddEntries(input, "R1", entries);
const gapOf = ({ input, entries }: ReturnType<typeof entered>) => {
  const [a, b] = entriesBySetup(input, "R1", entries);
  return a === undefined || b === undefined ? null : entryGap(a, b);
};

describe("an odd entry", () => {
  const others = [7.2, 7.4, 6.9, 7.3, 7.1, 7.5];

  it("is held against the rider's other runs", () => {
    const [odd, ...more] = oddOf(entered([6.1, ...others]));
    expect(more).toEqual([]);
    expect(odd?.run.runId).toBe("1");
    expect(odd?.othersMS).toBeCloseTo(7.233, 3);
    // t = -1.133 / (0.216 sqrt(7/6)) = -4.86 against 5 % / 7 two-sided at 5 degrees of freedom.
    expect(odd?.othersSpreadMS).toBeCloseTo(0.216, 3);
  });

  it("is not asked for among four runs, nor of struck-out ones, nor within 0.3 m/s", () => {
    expect(oddOf(entered([5, 7.2, 7.2, 7.3]))).toEqual([]);
    expect(oddOf(entered([6.1, ...others], "void"))).toEqual([]);
    expect(oddOf(entered([7, 7.2, 7.2, 7.2, 7.2, 7.21]))).toEqual([]);
    expect(oddOf(entered([6.8, 7.2, 7.2, 7.2, 7.2, 7.2]))).toHaveLength(1);
  });

  it("of another rider or another day is no yardstick", () => {
    const { input, entries } = entered([6.1, ...others]);
    const runs = input.runs.map((run, i) => (i === 0 ? { ...run, day: 1 } : run));
    expect(oddEntries({ ...input, runs }, "R1", entries)).toEqual([]);
    expect(oddEntries(input, "R2", entries)).toEqual([]);
  });
});

describe("set-ups entered at different speeds", () => {
  it("are told where the means differ beyond the scatter", () => {
    const gap = gapOf(entered([7, 7.6, 7.5, 7.1, 6.9, 7.7, 7.6, 7]));
    expect(gap?.quicker).toMatchObject({ setup: "B", runs: 4 });
    expect(gap?.gapMS).toBeCloseTo(0.6, 9);
    expect(gapOf(entered([7, 7.6, 6.5, 7.1, 6.9, 6.7, 7.6, 7.4]))).toBeNull();
    expect(gapOf(entered([7, 7.6, 7.5, 7.1]))).toBeNull();
    // A bike measured 1 % wrong must not do it.
    expect(gapOf(entered([7, 7.07, 7.07, 7, 7, 7.07, 7.07, 7]))).toBeNull();
    expect(gapOf(entered([7, 7.3, 7.3, 7, 7, 7.3, 7.3, 7]))).not.toBeNull();
  });
});

it("half a metre a second at the start is worth 0.1 to 0.4 s, and nothing is said from standing", () => {
  expect(entryWorthS(0.5, 10)?.[0]).toBeCloseTo(0.1, 9);
  expect(entryWorthS(-0.5, 5)?.[1]).toBeCloseTo(0.4, 9);
  expect(entryWorthS(0.5, 2)).toBeNull();
});

describe("on days with nothing odd", () => {
  /** Share of days on which it is said after any run. */
  function said(
    says: (day: ReturnType<typeof entered>) => boolean,
    runs: number,
    speedOf: (i: number, normal: number) => number = (_, z) => 7.2 + 0.3 * z,
    days = 400,
  ): number {
    const normal = normals(20);
    let found = 0;
    for (let day = 0; day < days; day += 1) {
      const speeds = Array.from({ length: runs }, (_, i) => speedOf(i, normal()));
      const looks = Array.from({ length: runs - 4 }, (_, i) => entered(speeds.slice(0, i + 5)));
      if (looks.some(says)) found += 1;
    }
    return found / days;
  }

  it("a question comes on 5 % at one look, on one in five at most at any", () => {
    const isOdd = (day: ReturnType<typeof entered>): boolean => oddOf(day).length > 0;
    for (const runs of [8, 12, 20]) expect(said(isOdd, runs)).toBeLessThan(0.2);
    const atTheEnd = (day: ReturnType<typeof entered>) => day.entries.length === 12 && isOdd(day);
    const once = said(atTheEnd, 12, undefined, 2000);
    expect(once).toBeLessThan(0.06);
    expect(once).toBeGreaterThan(0.03);
  });

  it("and finds most entries that are more than a metre a second off", () => {
    const asksAboutSeventh = (day: ReturnType<typeof entered>): boolean =>
      oddOf(day).some(({ run }) => run.runId === "7");
    const seventhSlow = (spread: number) => (i: number, z: number) =>
      (i === 6 ? 6.1 : 7.2) + spread * z;
    expect(said(asksAboutSeventh, 12, seventhSlow(0.3))).toBeGreaterThan(0.5);
    expect(said(asksAboutSeventh, 12, seventhSlow(0.2))).toBeGreaterThan(0.85);
  });

  it("a difference between set-ups comes on few, and is found", () => {
    const isApart = (day: ReturnType<typeof entered>): boolean => gapOf(day) !== null;
    for (const runs of [8, 12, 20]) expect(said(isApart, runs)).toBeLessThan(0.05);
    const quickerOnB = (i: number, z: number) => ("ABBA"[i % 4] === "A" ? 7 : 7.6) + 0.3 * z;
    expect(said(isApart, 12, quickerOnB)).toBeGreaterThan(0.6);
  });
});
