// Riders with set-ups and runs of their own, and days declared ahead: what is planned and suggested.
import { describe, expect, it } from "vitest";
import { fixPlan } from "../../src/advisor/fix-plan.ts";
import { adviseNext, adviseRider } from "../../src/advisor/next-setup.ts";
import { planDay } from "../../src/advisor/plan-day.ts";
import { planRefusal } from "../../src/advisor/plan-refusal.ts";
import type { Rider, Settings } from "../../src/domain/session.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { type MadeRun, madeSession, normals } from "../stats/made-session.ts";
import { type RunGiven, runsOf, type SessionGiven, sessionOf, sheetOf } from "./sessions.ts";

const setups = ["A", "B", "C"];

function adviceFor(given: SessionGiven, riderIndex = 0) {
  const input = sessionOf(given);
  const rider = input.riders[riderIndex];
  if (rider === undefined) throw new RangeError("no such rider");
  return adviseRider(input, rider);
}

function suggested(given: SessionGiven): string {
  let runs: readonly RunGiven[] = given.runs ?? [];
  for (let i = 0; i < 8; i += 1) {
    const { setup } = adviceFor({ ...given, runs }).next;
    if (setup === null) break;
    runs = [...runs, { setup, timeS: 90 + ((i * 7) % 5) / 3 }];
  }
  return runs.map((run) => run.setup).join("");
}

describe("a rider with set-ups of their own", () => {
  const riders = [{ id: "R1", setups: ["A", "C"], newTo: ["B", "C"] }];
  const practised = [1, 2, 3].map(() => ({ setup: "C", status: "warm-up" }) as const);

  it("practises those alone, and opens over them", () => {
    const { next } = adviceFor({ setups, riders, mounted: "A" });
    expect(next.because).toContain("practice run 1 of 3 on C");
    const warmUp = { setup: "C", status: "warm-up" } as const;
    const opened = adviceFor({ setups, riders, runs: [warmUp, ...practised] });
    expect(opened.next.because).toContain("opening, run 1 of 4");
    expect(suggested({ setups, riders, runs: practised }).slice(3, 7)).toMatch(/ACCA|CAAC/);
  });

  it("is never sent on another's, though one is mounted or on course", () => {
    expect(suggested({ setups, riders })).not.toContain("B");
    const mounted = adviceFor({ setups, riders, runs: practised, mounted: "B", swapMinutes: 3 });
    expect(["A", "C"]).toContain(mounted.next.setup);
    const onCourse = [...runsOf("ACCA"), { setup: "B", status: "on-course" } as const];
    const { next, alternatives } = adviceFor({ setups, riders, runs: onCourse });
    expect(["A", "C"]).toContain(next.setup);
    expect(alternatives.map((each) => each.setup).toSorted()).toEqual(["A", "C"]);
  });

  it("needs no pair named when there are only two", () => {
    const runs = runsOf("ACCAAC", [90, 91, 90.4, 90.2, 91.5, 90.7]);
    expect(adviceFor({ setups, riders, runs }).next.because).not.toContain("deciding pair");
    const all = [{ id: "R1" }];
    const three = runsOf("ABCCBAA", [90, 91, 90.4, 90.2, 91.5, 90.7, 90.1]);
    expect(adviceFor({ setups, riders: all, runs: three }).next.because).toContain("deciding pair");
  });

  it("compares what the sheet leaves: without the baseline one stands for it", () => {
    const without = [{ id: "R1", setups: ["B", "C"] }];
    expect(suggested({ setups, riders: without })).toMatch(/^(BCCB|CBBC)[BC]+$/);
    const clear = Array.from(
      "BCCBBCCBBCCB",
      (setup, i) => 90 + (setup === "B" ? 0 : 6) + (i % 3) / 10,
    );
    const { next } = adviceFor({ setups, riders: without, runs: runsOf("BCCBBCCBBCCB", clear) });
    expect(next.stop).toBe("decided");
  });

  it("rides on with a single one, and is told of none", () => {
    const one = adviceFor({ setups, riders: [{ id: "R1", setups: ["B"] }] }).next;
    expect(one).toMatchObject({ setup: "B", because: "B is the only set-up that R1 is to ride" });
    const none = [{ id: "R1", setups: [] }];
    expect(adviceFor({ setups, riders: none }).next).toMatchObject({ setup: null, stop: null });
    const rode = adviceFor({ setups, riders: none, runs: runsOf("ABBA") }).next;
    expect(rode).toMatchObject({ setup: null, because: "no set-up is declared for R1 to ride" });
  });

  it("keeps a set-up ridden all the same in the comparison, not in the suggestion", () => {
    const ac = [{ id: "R1", setups: ["A", "C"] }];
    const runs = runsOf("ACCABBACCA");
    const { next, alternatives } = adviceFor({ setups, riders: ac, runs });
    expect(["A", "C"]).toContain(next.setup);
    expect(alternatives.map((each) => each.setup)).not.toContain("B");
  });
});

describe("whose turn it is", () => {
  it("goes by counted runs, however many each has planned", () => {
    const riders = [
      { id: "R1", plannedRuns: 4 },
      { id: "R2", plannedRuns: 20 },
    ];
    const given = (first: string, second: string): SessionGiven => ({
      riders,
      runs: [
        ...runsOf(first).map((run) => ({ ...run, rider: "R1" })),
        ...runsOf(second).map((run) => ({ ...run, rider: "R2" })),
      ],
    });
    const turn = (first: string, second: string) => {
      const input = sessionOf(given(first, second));
      return adviseNext(input, compareRiders(input)).next.rider;
    };
    expect(turn("ABB", "ABBA")).toBe("R1");
    expect(turn("ABBA", "ABB")).toBe("R2");
  });
});

describe("days declared ahead", () => {
  const normal = normals(3);
  const even = (order: string, day: number): MadeRun[] =>
    Array.from(order, (setup) => ({ setup, day, timeS: 100 + normal() }));
  const settings: Partial<Settings> = {
    plannedRuns: 20,
    days: 2,
    minutes: 110,
    lapMinutes: 9,
    spreads: "common",
    mainSetup: null,
  };
  const advice = (runs: readonly MadeRun[], some: Partial<Settings> = {}) => {
    const input = madeSession({ runs, settings: { ...settings, ...some } });
    const [rider] = input.riders;
    if (rider === undefined) throw new RangeError("no rider");
    return adviseRider(input, rider);
  };

  it("leave the end of the plan and hope to the last of them", () => {
    const first = even("ABBAABBAAB", 0);
    const today = advice(first);
    expect(today.next.stop).toBeNull();
    expect(today.earlierEnd).toBeNull();
    // The same runs as the whole of a day that has time for two more of the twenty planned.
    expect(advice(first, { days: 1 }).earlierEnd).toEqual({
      rider: "R1",
      endRun: 12,
      runsLeft: 2,
    });
    // On the last day: 13 ridden, and 82 - 27 minutes are six laps.
    const last = advice([...first, ...even("ABB", 1)], { minutes: 82 });
    expect(last.earlierEnd).toEqual({ rider: "R1", endRun: 19, runsLeft: 6 });
  });

  it("go on with a level and a trend of the new day", () => {
    const runs = [...even("ABBAABBAAB", 0), ...even("AB", 1)];
    const { next } = advice(runs);
    expect(["A", "B"]).toContain(next.setup);
    // Two runs of a new day say nothing yet: level and trend take them up.
    const input = madeSession({ runs, settings });
    const before = madeSession({ runs: runs.slice(0, 10), settings });
    const of = (made: typeof input) => compareRiders(made)[0]?.parts[0]?.pairs[0];
    expect(of(input)?.difference_s).toBeCloseTo(of(before)?.difference_s ?? Number.NaN, 9);
  });
});

const club: SessionGiven = {
  setups,
  swapMinutes: 12,
  riders: [
    { id: "R1" },
    { id: "R2", setups: ["A", "B"], plannedRuns: 8, newTo: ["B", "C"] },
    { id: "R3", setups: ["B", "C"] },
    { id: "R4" },
  ],
  settings: { plannedRuns: 6, minutes: 240, lapMinutes: 9, spreadS: 1 },
};

describe("the plan of riders with their own", () => {
  it("is the first rider's, with practice and timetable of everybody", () => {
    const plan = planDay(sheetOf(club));
    expect(plan.runs).toBe(6);
    expect(plan.order.join("")).toBe("ABCCBA");
    expect(plan.practice).toEqual([{ rider: "R2", setup: "B", runs: 3 }]);
    const lines = plan.timetable.map((line) => line.what);
    expect(lines[2]).toBe("run 1: R1 on A, R2 on B, R3 on B, R4 on C");
    expect(lines.at(-2)).toBe("swap (12 min), run 8: R2 on B");
    expect(lines.at(-1)).toBe("last finish");
  });

  it("says whose differs, and what too few ride", () => {
    const { warnings } = planDay(sheetOf(club));
    expect(warnings).toContain("R2 rides 8 runs on A and B: order, hours and reach here are R1's");
    expect(warnings).toContain("R3 rides 6 runs on B and C: order, hours and reach here are R1's");
    expect(warnings.join("\n")).not.toContain("R4 rides");
    expect(warnings).toContain(
      "R3 does not ride A, the baseline: nothing is compared for R3 alone",
    );
    expect(warnings).toContain(
      "6 runs are too few for R1 and R4 alone; they count with the others'",
    );
  });

  const warningsOf = (riders: SessionGiven["riders"]): readonly string[] =>
    planDay(sheetOf({ ...club, ...(riders === undefined ? {} : { riders }) })).warnings;
  const three = ["R1", "R2", "R3"].map((id) => ({ id, setups: ["A", "B"] }));

  it("says what nobody rides, leads to or carries enough", () => {
    expect(warningsOf(three)).toContain("nobody is to ride C");
    expect(warningsOf([...three, { id: "R4", setups: ["C"] }])).toEqual(
      expect.arrayContaining([
        "C cannot be compared with A: no rider rides both, and none leads there",
        "R4 rides only C: nothing is compared for R4 alone",
      ]),
    );
    expect(warningsOf([...three, { id: "R4", setups: ["A", "C"] }])).toContain(
      "only 1 rider carries the comparison of C with A: no joint answer on it",
    );
    const two = ["R4", "R5"].map((id) => ({ id, setups: ["A", "C"] }));
    expect(warningsOf([...three, ...two])).toContain(
      "only 2 riders carry the comparison of C with A: no joint answer on it",
    );
    const linked = [...three, { id: "R4", setups: ["A", "C"] }, { id: "R5", setups: ["B", "C"] }];
    expect(warningsOf(linked).join("\n")).not.toContain("carry");
  });

  it("says of unlike short plans that they are short", () => {
    const riders = [{ id: "R1", plannedRuns: 5 }, { id: "R2" }, { id: "R3" }];
    expect(warningsOf(riders)).toContain(
      "the runs planned are too few for any rider alone; together they have a plan",
    );
    expect(warningsOf([...riders, { id: "R4", setups: [] }])).toContain(
      "R4 rides nothing: order, hours and reach here are R1's",
    );
  });

  it("is fixed rider by rider", () => {
    const { riders, setups: declared } = fixPlan(sheetOf(club));
    expect(declared).toEqual(setups);
    expect(riders.map((r) => [r.rider, r.plannedRuns, r.order.join(""), r.nuN])).toEqual([
      ["R1", 6, "ABCCBA", 2],
      ["R2", 8, "BAABBAAB", 5],
      ["R3", 6, "BCCBBC", 3],
      ["R4", 6, "CBAABC", 2],
    ]);
    // z2 of a whole number of mirrored passes is n / (2 K).
    expect(riders[1]?.z2N).toEqual({ B: expect.closeTo(2, 12) as number });
    expect(riders[2]?.z2N).toEqual({ B: null, C: null });
    const open = fixPlan(
      sheetOf({ ...club, settings: { ...club.settings, plannedRuns: null, bands: "open" } }),
    );
    expect(open.riders.map((r) => [r.plannedRuns, r.order.join("")])).toEqual([
      [null, "ABCCBA"],
      [8, "BAABBAAB"],
      [null, "BCCB"],
      [null, "CBAABC"],
    ]);
  });

  it("without any rider is that of one", () => {
    const settings = { ...club.settings, plannedRuns: 9 };
    const nobody = planDay(sheetOf({ ...club, settings, riders: [] }));
    const one = planDay(sheetOf({ ...club, settings, riders: [{ id: "R1" }] }));
    expect(nobody.order).toEqual(one.order);
    expect(nobody).toMatchObject({ minutes: one.minutes, fits: one.fits, practice: [] });
  });

  it("is refused in words that name every rider's runs", () => {
    const riders = [{ id: "R1" }, { id: "R2", plannedRuns: 4 }];
    const short = sheetOf({ riders, settings: { plannedRuns: 3 } });
    // 3 + 4 - 2 levels - 2 trends - 1 = 2; 5 and 5 make five.
    expect(planRefusal(short)).toMatchObject({
      message:
        "planned_runs of R1 3, R2 4: too few runs together to promise anything about 2 set-ups",
      hint: 'plan at least 5 runs of each rider, or set bands = "open", which needs no planned end',
    });
    const nothing = riders.map((rider): Pick<Rider, "id"> & Partial<Rider> => ({
      ...rider,
      setups: ["A"],
    }));
    expect(planRefusal(sheetOf({ riders: nothing, settings: { plannedRuns: 3 } }))).toBeNull();
  });

  it("fills the hours for whoever has no number", () => {
    const settings = { ...club.settings, plannedRuns: null, bands: "open" as const, minutes: 140 };
    const riders = [{ id: "R1", setups: ["A", "B"] }, { id: "R2" }];
    // Side by side ABBAA and CBAAB: 4 x 9 of warm-up, 5 x 9, somebody swaps before each of four;
    // a sixth run takes 21 more than these 129.
    const plan = planDay(sheetOf({ ...club, riders, settings }));
    expect(plan.order.join("")).toBe("ABBAA");
    const own = [{ id: "R1", setups: ["A", "B"], plannedRuns: 4 }];
    expect(planDay(sheetOf({ ...club, riders: own, settings })).order.join("")).toBe("ABBA");
  });
});

describe("the plan of several days", () => {
  const settings = { plannedRuns: 20, days: 2, minutes: 200, lapMinutes: 9, spreadS: 1 };
  const given: SessionGiven = { riders: [{ id: "R1", newTo: ["B"] }], swapMinutes: 12, settings };

  it("is each day's order from its start, hours and practice apart", () => {
    const plan = planDay(sheetOf(given));
    expect(plan.order.join("")).toBe("ABBAABBAABABBAABBAAB");
    // Five swaps a day; the one overnight is nobody's.
    expect(plan.swaps).toBe(10);
    expect(plan.minutes).toBe(2 * (10 * 9 + 5 * 12));
    // 4 x 9 of warm-up and 150 a day, and 3 x 9 + 2 x 12 of practice on the first.
    expect(plan.fits).toBe(false);
    // Seven on the first day: 36 + 51 + 7 x 9 + 3 x 12; an eighth takes 21. Of 15 it would have eight.
    expect(plan.warnings[0]).toBe(
      "does not fit: 20 runs over 2 days with warm-up, practice, swaps and breaks take on the longest 237 of 200 min; 14 runs would fit",
    );
    expect(planDay(sheetOf({ ...given, settings: { ...settings, minutes: 237 } })).fits).toBe(true);
    const starts = plan.timetable.filter((line) => line.at === "0:00").map((line) => line.what);
    expect(starts).toEqual(["day 1: warm-up, 4 laps", "day 2: warm-up, 4 laps"]);
    expect(plan.timetable.filter((line) => line.what.includes("practice"))).toHaveLength(1);
  });

  it("costs a level and a trend a day", () => {
    const [own] = fixPlan(sheetOf(given)).riders;
    expect(own?.nuN).toBe(20 - 4 - 1);
    const one = planDay(sheetOf({ ...given, settings: { ...settings, days: 1 } }));
    const two = planDay(sheetOf(given));
    expect(two.end_half_width_s).toBeGreaterThan(one.end_half_width_s ?? Number.NaN);
  });

  it("is refused with a number that the days can share", () => {
    const short = sheetOf({ ...given, settings: { ...settings, plannedRuns: 8 } });
    // 10 runs less two levels, two trends and a set-up.
    expect(planRefusal(short)?.hint).toContain("plan at least 10 runs,");
    const odd = sheetOf({ ...given, settings: { ...settings, plannedRuns: 6, days: 3 } });
    expect(planRefusal(odd)?.hint).toContain("plan at least 12 runs,");
  });

  it("advises on the trend by the runs of one day", () => {
    const warnings = (plannedRuns: number, drift: "linear" | "learning"): string =>
      planDay(sheetOf({ ...given, settings: { ...settings, plannedRuns, drift } })).warnings.join(
        "\n",
      );
    expect(warnings(20, "linear")).not.toContain("may serve better");
    expect(warnings(32, "linear")).toContain("with 16 runs a day, or");
    expect(warnings(20, "learning")).toContain("costs much with 10 runs a day");
  });
});
