// Which set-up is the more even one: words, range, and when nothing is said.
import { describe, expect, it } from "vitest";
import { consistencies } from "../../../src/summary/remarks/consistency.ts";
import { countedRuns, type MadeSession, normals } from "../../stats/made-session.ts";
import { mirrored } from "../../stats/mirrored-day.ts";
import { basisOf } from "./basis-of.ts";

/** A day whose B scatters `ratio` times as much as its A, in units of `spreadS`. */
function day(n: number, ratio: number, seed = 1, spreadS = 1): MadeSession {
  const normal = normals(seed);
  const order = mirrored(n);
  const times = order.map((s) => 90 + spreadS * (s === "B" ? ratio : 1) * normal());
  return { runs: countedRuns(order, times), settings: { plannedRuns: n, spreads: "each" } };
}
const texts = (made: MadeSession): string[] =>
  consistencies(basisOf(made)).map((remark) => remark.text);

describe("consistency", () => {
  it("is a note with both spreads and how much the ratio may be", () => {
    const basis = basisOf(day(20, 1.3));
    const [a, b] = basis.riders[0]?.setup_spreads ?? [];
    const [note, ...more] = consistencies(basis);
    expect(more).toEqual([]);
    expect(note).toMatchObject({ level: "note", kind: "consistency", rider: "R1", setup: "B" });
    const figures = [a, b]
      .map((each) => each?.spread_s ?? 0)
      .toSorted((x, y) => x - y)
      .map((each) => each.toFixed(1))
      .join(" v ");
    expect(note?.text).toMatch(
      /^[AB] more even: \d\.\d v \d\.\d s \([a-z0-9. ]+ to \d\.\d times as much\): could be chance$/,
    );
    expect(note?.text).toContain(`: ${figures} s (`);
  });

  it("says hardly by chance only where the range leaves equal spreads out", () => {
    expect(texts(day(40, 5))[0]).toMatch(/^A more even: \d\.\d v \d\.\d s, and hardly by chance$/);
    expect(texts(day(40, 0.25))[0]).toMatch(
      /^B more even: \d\.\d v \d\.\d s, and hardly by chance$/,
    );
  });

  it("calls neither more even where the figures are the same, and shows small ones finer", () => {
    // Every B repeats the scatter of the A before it.
    const order = mirrored(24).map((_, i) => (i % 2 === 0 ? "A" : "B"));
    const normal = normals(8);
    const noise = order.map(() => normal());
    const times = order.map((_, i) => 90 + (noise[i - (i % 2)] ?? 0));
    const same: MadeSession = {
      runs: countedRuns(order, times),
      settings: { plannedRuns: 24, drift: "none" },
    };
    expect(texts(same)[0]).toMatch(/^[AB] as even as [AB]: (\d\.\d) v \1 s \(/);
    expect(texts(day(20, 1.5, 1, 0.1))[0]).toMatch(/^[AB] more even: 0\.\d\d v 0\.\d\d s/);
  });

  it("tells a range of a third or a half in words", () => {
    const seen = Array.from({ length: 30 }, (_, seed) => texts(day(20, 1, seed + 1))[0] ?? "");
    expect(seen.join("\n")).toMatch(/\((?:a quarter|a third|half) to \d\.\d times as much\)/);
    expect(seen.join("\n")).toMatch(/\(0\.\d to \d\.\d times as much\)/);
    expect(seen.join("\n")).not.toMatch(/NaN|Infinity|undefined/);
  });

  it("is silent while the range is wider than a factor of three either way", () => {
    expect(texts(day(6, 1))).toEqual([]);
    expect(texts({ ...day(10, 1), settings: { plannedRuns: 20 } })).toEqual([]);
    expect(texts({ ...day(20, 1), settings: { plannedRuns: 20 } })).toHaveLength(1);
    expect(texts({ runs: [] })).toEqual([]);
  });

  it("has a wider range without a plan, and after its end", () => {
    const high = (plannedRuns: number | null): number => {
      const said = texts({ ...day(40, 1.2), settings: { plannedRuns } })[0] ?? "";
      return Number(/to (\d+\.\d) times/.exec(said)?.[1]);
    };
    expect(high(40)).toBeLessThan(high(null));
    expect(high(39)).toBe(high(null));
  });

  it("goes by the runs with nothing struck out", () => {
    const normal = normals(4);
    const order = mirrored(24);
    const odd = order.indexOf("B", 8);
    const runsWith = (lostS: number): MadeSession["runs"] =>
      order.map((setup, i) => {
        const sectorS = [40 + normal() + (i === odd ? lostS : 0), 50 + normal()];
        const timeS = (sectorS[0] ?? 0) + (sectorS[1] ?? 0);
        return { setup, timeS, sectorS, voidSectors: i === odd ? [1] : [] };
      });
    const said = texts({
      runs: runsWith(30),
      sectors: ["Roots", "Gully"],
      settings: { plannedRuns: 24, spreads: "each" },
    });
    // A fall of 30 s among spreads of 1.4 s would make A more even beyond doubt.
    expect(said[0]).toMatch(/could be chance$/);
  });

  it("gives the spreads' own ranges in a session of very many runs", () => {
    expect(texts(day(404, 1.3))[0]).toMatch(
      /^A more even: 1\.0 v 1\.3 s \(ranges [01]\.\d to 1\.\d and 1\.\d to 1\.\d s\)$/,
    );
  });
});
