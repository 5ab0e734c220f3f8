// What laps, swaps and rests take on the day, and where a break was.
import { describe, expect, it } from "vitest";
import {
  breakBefore,
  minutesSinceFinish,
  restNeeded,
  restsBefore,
} from "../../src/advisor/rest-before.ts";
import { costsToday } from "../../src/advisor/time-left.ts";
import { sessionUs } from "../../src/domain/time.ts";
import { type RunGiven, type SessionGiven, sessionOf } from "./sessions.ts";

/** Runs of three minutes that start so many minutes after each other: `A0 B12 A30`. */
function starting(text: string): RunGiven[] {
  return text.split(" ").map((each) => {
    const startedMin = Number(each.slice(1));
    return { setup: each.slice(0, 1), startedMin, finishedMin: startedMin + 3 };
  });
}

function costs(starts: string, given: SessionGiven = {}) {
  const settings = { lapMinutes: 8 };
  return costsToday(
    sessionOf({ settings, swapMinutes: 5, ...given, runs: starting(starts) }),
    "R1",
  );
}

describe("a lap", () => {
  it("is the median from start to start without a swap, once there are three", () => {
    // Stays of 10, 11 and 13; the swaps are left out of it.
    expect(costs("A0 A10 B40 B51 A70 A83").lapMinutes).toBe(11);
    // Stays of 10 and 11 are too few: 10, 20 - 5, 11 and 24 - 5.
    expect(costs("A0 A10 B30 B41 A65").lapMinutes).toBe(13);
    expect(costs("A0 A10 B30").lapMinutes).toBe(8);
  });

  it("holds no break: longer than lap, swap and twenty minutes, or one of the sheet's", () => {
    expect(costs("A0 A10 A20 A30 A65 A100 A111").lapMinutes).toBe(10);
    // 27 minutes are a lap with a long wait unless a break was planned: after run 3, or at its hour.
    const starts = "A0 A10 A20 A47 A60 A72";
    const pause = { afterRun: null, at: null, minutes: 15, name: null };
    const planned = (part: { afterRun?: number; at?: string }, zone = "Etc/UTC") =>
      costs(starts, {
        settings: { lapMinutes: 8, zone },
        hours: { breaks: [{ ...pause, ...part }] },
      }).lapMinutes;
    expect(costs(starts).lapMinutes).toBe(12);
    expect(planned({ afterRun: 3 })).toBe(11);
    // The first start is at 22:13 UTC, runs 3 and 4 start at 22:33 and 23:00.
    expect(planned({ at: "22:45" })).toBe(11);
    expect(planned({ at: "22:45" }, "Europe/Vienna")).toBe(12);
  });
});

describe("a swap", () => {
  // Laps of 10; A to B takes 7, 9 and 8 more, B to A 2, 3 and 4.
  const starts = "A0 A10 A20 A30 B47 A59 B78 A91 B109 A123";

  it("is the median of what the laps with it took longer, both ways alike", () => {
    const { lapMinutes, swapMinutes } = costs(starts);
    expect(lapMinutes).toBe(10);
    expect([swapMinutes("A", "B"), swapMinutes("B", "A")]).toEqual([5.5, 5.5]);
    expect(swapMinutes("A", "A")).toBe(0);
  });

  it("is told apart by its way where the sheet does so", () => {
    const swaps = [
      { from: "A", to: "B", minutes: 6 },
      { from: "B", to: "A", minutes: 5 },
    ];
    const { swapMinutes } = costs(starts, { swaps });
    expect([swapMinutes("A", "B"), swapMinutes("B", "A")]).toEqual([8, 3]);
  });

  it("is the sheet's before there are three, never below nothing, and of that pair alone", () => {
    expect(costs("A0 A10 A20 A30 B60 A90").swapMinutes("A", "B")).toBe(5);
    expect(costs("A0 A10 A20 A30 B38 A46 B54").swapMinutes("A", "B")).toBe(0);
    const three = { setups: ["A", "B", "C"] };
    expect(costs(starts, three).swapMinutes("A", "C")).toBe(5);
  });
});

describe("rest", () => {
  const R = "R1";
  const input = (given: SessionGiven) => sessionOf({ settings: { lapMinutes: 10 }, ...given });
  const at = (minutes: number) => sessionUs(1.7e15 + minutes * 60e6);

  it("asked for by the sheet ends so many minutes after the last finish", () => {
    const hours = { restMinutes: 12 };
    expect(restNeeded(input({ hours, runs: starting("A0 A20") }), R)).toBe(at(35));
    expect(restNeeded(input({ hours }), R)).toBeNull();
    expect(restNeeded(input({ runs: starting("A0") }), R)).toBeNull();
    const out: RunGiven = { setup: "A", status: "on-course", startedMin: 20 };
    expect(restNeeded(input({ hours, runs: [...starting("A0"), out] }), R)).toBeNull();
  });

  it("so far is the time since the finish", () => {
    expect(minutesSinceFinish(input({ runs: starting("A0 A20") }), R, at(30))).toBe(7);
    expect(minutesSinceFinish(input({}), R, at(30))).toBeNull();
  });

  it("before a run is from finish to start; more than twenty minutes beyond a lap and swap are a break", () => {
    const given = { swapMinutes: 5, runs: starting("A0 A10 B25 B59 A69 A79 A114") };
    expect(restsBefore(input(given), R, 0).map(({ minutes }) => minutes)).toEqual([
      7, 12, 31, 7, 7, 32,
    ]);
    const breaks = breakBefore(input(given), R, 0);
    expect(breaks.map(({ run, breakMinutes }) => [run.runId, breakMinutes])).toEqual([
      ["4", 24],
      ["7", 25],
    ]);
    const warm = given.runs.map((run, i) =>
      i === 6 ? { ...run, status: "warm-up" as const } : run,
    );
    expect(breakBefore(input({ ...given, runs: warm }), R, 0)).toHaveLength(1);
  });
});
