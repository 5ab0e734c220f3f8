// The question about a slow run: its words, whom it leaves alone, how many at once.
import { describe, expect, it } from "vitest";
import { type MadeRun, normals } from "../../stats/made-session.ts";
import { mirrored } from "../../stats/mirrored-day.ts";
import { remarksOf, textsOf } from "./remarks-of.ts";

const SECTORS = ["Roots", "Gully"];

/** Runs of two sectors of 40 s; what is lost in each, s, by run number. */
function day(lost: Readonly<Record<number, readonly [number, number]>>, rider = "R1"): MadeRun[] {
  const normal = normals(5);
  return mirrored(12).map((setup, i): MadeRun => {
    const sectorS = [0, 1].map((s) => 40 + 0.02 * normal() + (lost[i + 1]?.[s] ?? 0));
    return { rider, setup, sectorS, timeS: sectorS.reduce((a, b) => a + b, 0) };
  });
}
const whole = (runs: readonly MadeRun[]): MadeRun[] =>
  runs.map(({ setup, timeS }) => ({ setup, timeS }));

describe("a slow run is asked about", () => {
  it("in one sentence that says how slow, and what may be done", () => {
    expect(remarksOf({ runs: whole(day({ 7: [6, 0] })) }, "slow-run")).toEqual([
      {
        level: "ask",
        kind: "slow-run",
        rider: "R1",
        setup: null,
        run: "7",
        text: "run 7 was 6.0 s slower than the others say: was there a mistake? strike it out only for a cause seen or told, else count it",
      },
    ]);
  });

  it("with the sector where it was lost", () => {
    expect(textsOf({ runs: day({ 7: [0, 6] }), sectors: SECTORS }, "slow-run")).toEqual([
      "run 7 was 6.0 s slower than the others say (lost 6.0 s in Gully): was there a mistake? strike that sector out only for a cause seen or told, else count it",
    ]);
  });

  it("in several sectors, or in one alone", () => {
    expect(textsOf({ runs: day({ 7: [5, 6] }), sectors: SECTORS }, "slow-run")[0]).toMatch(
      /^run 7 was [\d.]+ s slower than the others say \(lost [\d.]+ s in \w+ and [\d.]+ s in \w+\): .* strike those sectors out only/,
    );
    expect(textsOf({ runs: day({ 7: [4, -4] }), sectors: SECTORS }, "slow-run")[0]).toMatch(
      /^run 7 lost [\d.]+ s in Roots: was there a mistake\? strike that sector out only/,
    );
  });

  it("not when something was noted on it, and not again once it was counted on purpose", () => {
    const runs = whole(day({ 7: [6, 0] }));
    expect(textsOf({ runs, incidents: [{ runId: "7", kind: "dab" }] }, "slow-run")).toEqual([]);
    expect(textsOf({ runs, incidents: [{ runId: "6", kind: "dab" }] }, "slow-run")).toHaveLength(1);
    expect(textsOf({ runs, incidents: [{ runId: null, kind: "dab" }] }, "slow-run")).toHaveLength(
      1,
    );
    const counted = runs.map((run, i) => (i === 6 ? { ...run, isMarkedOk: true } : run));
    expect(textsOf({ runs: counted }, "slow-run")).toEqual([]);
  });

  it("two at once at the most, the worst first; an answer lets the next come", () => {
    const numbers = (given: readonly MadeRun[]): readonly (string | null)[] =>
      remarksOf({ runs: given }, "slow-run").map(({ run }) => run);
    const even = Array.from(
      { length: 40 },
      (_, i): MadeRun => ({ setup: i % 2 === 0 ? "A" : "B", timeS: 60 + (i % 3) }),
    );
    const many = even.map((run, i) => ({
      ...run,
      timeS: (run.timeS ?? 0) + (i === 9 ? 40 : i === 20 ? 50 : i === 31 ? 30 : 0),
    }));
    expect(numbers(many)).toEqual(["21", "10"]);
    expect(numbers(many.map((run, i) => (i === 20 ? { ...run, isMarkedOk: true } : run)))).toEqual([
      "10",
      "32",
    ]);
  });

  it("by rider and day where there are several", () => {
    const second = day({ 5: [9, 0] }, "R2").map((run) => ({ ...run, day: 1 }));
    const [text] = textsOf({ runs: [...day({}), ...second], riders: ["R1", "R2"] }, "slow-run");
    expect(text).toMatch(/^run 5 of R2 on day 2 was 9.0 s slower/);
  });
});
