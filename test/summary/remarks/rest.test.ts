// Rests, breaks and exertion that were not the same for every set-up.
import { describe, expect, it } from "vitest";
import type { ComparisonInput } from "../../../src/domain/comparison.ts";
import { EXERTION_KEY } from "../../../src/domain/measure-keys.ts";
import type { Remark } from "../../../src/domain/remark.ts";
import { sessionUs } from "../../../src/domain/time.ts";
import { unequalExertions } from "../../../src/summary/remarks/exertion.ts";
import { runsAfterBreak, unequalRests } from "../../../src/summary/remarks/rest.ts";
import { type RunGiven, type SessionGiven, sessionOf } from "../../advisor/sessions.ts";
import { basisOfInput } from "./basis-of.ts";

const textsOf = (remarks: readonly Remark[]) => remarks.map(({ text }) => text);

/** Runs of three minutes with these rests before them, minutes. */
function rested(order: string, rests: readonly number[], rider = "R1"): RunGiven[] {
  let startedMin = 0;
  return Array.from(order, (setup, i) => {
    startedMin += i === 0 ? 0 : 3 + (rests[i] ?? 0);
    return { rider, setup, startedMin, finishedMin: startedMin + 3 };
  });
}

const basis = (given: SessionGiven) =>
  basisOfInput(sessionOf({ settings: { lapMinutes: 10 }, ...given }));

describe("mean rest", () => {
  const order = "ABBAABBA";

  it("that is longer before one set-up is warned of", () => {
    const runs = rested(order, [0, 12, 11, 7, 8, 13, 12, 6]);
    const [remark, ...more] = unequalRests(basis({ runs }));
    expect(more).toEqual([]);
    expect(remark).toMatchObject({ level: "warn", kind: "unequal-rest", rider: "R1", setup: "B" });
    expect(remark?.text).toBe(
      "mean rest before the starts differs: B 12.0 min, A 7.0 min: rest as long before each, or the times compare the rests too",
    );
  });

  it.each([
    ["three minutes more", [0, 10, 10, 7, 7, 10, 10, 7]],
    ["less than a quarter more", [0, 24, 24, 20, 20, 24, 24, 20]],
    ["too few rests of one set-up", [0, 20, 20, 7]],
    // Half an hour's rest before runs of B, but it was a break.
    ["breaks", [0, 7, 7, 7, 7, 40, 7, 7, 7, 7]],
  ])("is not for %s", (what, rests) => {
    const ridden = what === "breaks" ? "ABBAABBABA" : order.slice(0, rests.length);
    expect(unequalRests(basis({ runs: rested(ridden, rests) }))).toEqual([]);
  });

  it("is each rider's own, and of runs timed by the clock", () => {
    const riders = [{ id: "R1" }, { id: "R2", name: "Rider two" }];
    const even = rested(order, [0, 7, 7, 7, 7, 7, 7, 7]);
    const uneven = rested(order, [0, 12, 11, 7, 8, 13, 12, 6], "R2");
    const [remark, ...more] = unequalRests(basis({ riders, runs: [...even, ...uneven] }));
    expect(more).toEqual([]);
    expect(remark?.text).toMatch(/^Rider two: mean rest/);
    const untimed = uneven.map(({ setup }) => ({ rider: "R2", setup }));
    expect(unequalRests(basis({ riders, runs: untimed }))).toEqual([]);
  });
});

it("a counted run right after a break is told, the newest alone", () => {
  const rests = [0, 7, 7, 45, 7, 7, 41];
  const remarks = runsAfterBreak(basis({ runs: rested("ABBAABB", rests) }));
  expect(remarks).toMatchObject([{ level: "warn", kind: "after-break", run: "7" }]);
  expect(textsOf(remarks)).toEqual([
    "run 7 came after a break of 34 min: the first lap after one is best a warm-up",
  ]);
  expect(runsAfterBreak(basis({ runs: rested("ABBA", [0, 7, 7, 7]) }))).toEqual([]);
});

describe("exertion", () => {
  const told = (values: readonly number[]): ComparisonInput => ({
    ...sessionOf({ runs: Array.from("ABBAAB", (setup) => ({ setup })) }),
    measures: values.map((value, i) => ({
      at: sessionUs(1.7e15 + i),
      runId: String((i % 6) + 1),
      rider: "R1",
      setup: null,
      key: EXERTION_KEY,
      value,
      unit: null,
    })),
  });

  it("that differs by a step or more is told with its means", () => {
    const [remark, ...more] = unequalExertions(basisOfInput(told([4, 6, 7, 5, 4, 6])));
    expect(more).toEqual([]);
    expect(remark).toMatchObject({ level: "note", kind: "unequal-exertion", setup: "B" });
    expect(remark?.text).toBe(
      "exertion differs between set-ups (B 6.3, A 4.3 of 10): the times are not of the same effort",
    );
  });

  it("that is nearly the same, or told on too few runs, is not", () => {
    expect(unequalExertions(basisOfInput(told([4, 5, 5, 5, 4, 5])))).toEqual([]);
    expect(unequalExertions(basisOfInput(told([2, 8, 8, 2, 2])))).toEqual([]);
  });

  it("is the last word on each run, of counted runs alone", () => {
    // The first run's 4 is taken back for a 9.
    const texts = textsOf(unequalExertions(basisOfInput(told([4, 6, 7, 5, 4, 6, 9]))));
    expect(texts).toEqual([]);
    const input = told([4, 6, 7, 5, 4, 6]);
    const runs = input.runs.map((run, i) => (i === 0 ? { ...run, status: "void" as const } : run));
    expect(unequalExertions(basisOfInput({ ...input, runs }))).toEqual([]);
  });
});
