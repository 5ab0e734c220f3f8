// The comparison of several days: what was declared, what the days say, and what is newest.
import { describe, expect, it } from "vitest";
import type { Remark } from "../../src/domain/remark.ts";
import type { Settings } from "../../src/domain/session.ts";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { compareAfter, type Summary, summarise } from "../../src/summary/summary.ts";
import { handGates, JournalWriter, R1, R2 } from "../session/a-journal.ts";
import { madeSession } from "../stats/made-session.ts";

const summaryOf = (j: JournalWriter): Summary =>
  summarise(sessionOf(extendFold(emptyFold(), j.entries)));

const MIRRORED = ["A", "B", "B", "A", "A", "B", "B", "A"];
/** Scatter of the runs, s; the second half mirrors the first, so that no trend comes of it. */
const SCATTER = [0.3, -0.4, 0.2, -0.1, -0.1, 0.2, -0.4, 0.3];

interface Given {
  /** What the times of B differ by on each day, s. */
  readonly effects: readonly (readonly [string, number])[];
  readonly order?: readonly (readonly string[])[];
  readonly sheets?: readonly Partial<Settings>[];
  readonly scatter?: number;
}

/** Days of eight imported runs of each rider. */
function riddenDays({ effects, order = [], sheets = [], scatter = 1 }: Given): JournalWriter {
  const j = new JournalWriter();
  const days = [...new Set(effects.map((_, i) => Math.floor(i / riders(effects).length)))];
  for (const day of days) {
    const own = riders(effects).map((rider, r) => ({
      rider,
      effectS: effects[day * riders(effects).length + r]?.[1] ?? 0,
    }));
    const ride = (): void => {
      j.made(handGates, riders(effects).length > 1 ? [R1, R2] : [R1], sheets[day] as object);
      const rows = own.flatMap(({ rider, effectS }) =>
        (order[day] ?? MIRRORED).map((setup, i) => ({
          rider,
          setup,
          status: "ok" as const,
          timeS: 120 + day + (setup === "B" ? effectS : 0) + scatter * (SCATTER[i] ?? 0),
          uncertaintyS: null,
          sectorS: [null, null],
          startedAtUs: null,
          reason: null,
        })),
      );
      j.write(86_400 * day + 100, { type: "times-imported", body: { file: "t.csv", rows } });
    };
    if (day === 0) ride();
    else j.nextDay(86_400 * day, ride, day);
  }
  return j;
}

function riders(effects: Given["effects"]): readonly string[] {
  return [...new Set(effects.map(([rider]) => rider))];
}

function told({ comparison }: Summary, kind: string): readonly Pick<Remark, "level" | "text">[] {
  return comparison.remarks
    .filter((remark) => remark.kind === kind)
    .map(({ level, text }) => ({ level, text }));
}

const alike = [
  ["R1", -2],
  ["R1", -1.8],
] as const;

describe("days beyond those declared", () => {
  it("are compared by the open band, planned for no number of runs, and it is said so", () => {
    const summary = summaryOf(riddenDays({ effects: alike }));
    expect(summary.comparison.settings).toMatchObject({ bands: "open", planned_runs: null });
    expect(summary.settings).toMatchObject({ bands: "open", plannedRuns: null, days: 1 });
    expect(told(summary, "undeclared-days")).toEqual([
      {
        level: "warn",
        text: "1 day was planned and 2 ridden: the band is the wider one that holds for any number of runs; to keep the plan's, write days = 2 in the sheet before the first day",
      },
    ]);
    const openly = compareRiders(
      madeSession({
        runs: summary.runs.map(({ setup, timeS, day }) => ({ setup, timeS, day })),
        settings: { bands: "open", plannedRuns: null, spreads: "each", marginS: 0.8 },
      }),
    );
    const { parts } = summary.comparison.riders[0] ?? {};
    expect(parts?.[0]?.pairs).toEqual(openly[0]?.parts[0]?.pairs);
    expect(openly[0]?.parts[0]?.pairs[0]?.multiplier).toBeGreaterThan(3);
  });

  it("are so at every earlier look as well", () => {
    const summary = summaryOf(riddenDays({ effects: alike }));
    expect(compareAfter(summary, 6).settings).toMatchObject({ bands: "open", planned_runs: null });
  });

  it("are named where several days were declared and one more was ridden", () => {
    const sheets = [0, 1, 2].map(() => ({ days: 2, plannedRuns: 24 }));
    const summary = summaryOf(riddenDays({ effects: [...alike, ["R1", -1.9]], sheets }));
    expect(told(summary, "undeclared-days")[0]?.text).toMatch(
      /^2 days were planned and 3 ridden: .* write days = 3 in the sheet/,
    );
  });

  it("lose an announced end, and a rider's own planned runs", () => {
    const j = riddenDays({ effects: alike, sheets: [{ plannedRuns: 14 }] });
    j.write(200_000, { type: "plan-end-announced", body: { rider: "R1", endRun: 20 } });
    expect(summaryOf(j).plannedEnds).toEqual([]);
    expect(summaryOf(j).riders[0]?.plannedRuns).toBeNull();
  });
});

describe("days declared before the first", () => {
  it("keep the plan, its runs counted over the days together", () => {
    const sheets = [0, 1].map(() => ({ days: 2, plannedRuns: 24 }));
    const summary = summaryOf(riddenDays({ effects: alike, sheets }));
    expect(summary.comparison.settings).toMatchObject({ bands: "plan", planned_runs: 24 });
    expect(told(summary, "undeclared-days")).toEqual([]);
    const made = madeSession({
      runs: summary.runs.map(({ setup, timeS, day }) => ({ setup, timeS, day })),
      settings: { plannedRuns: 24, days: 2, spreads: "each", marginS: 0.8 },
    });
    const [rider] = compareRiders(made);
    expect(rider?.counted_runs).toBe(16);
    expect(summary.comparison.riders[0]?.parts[0]?.pairs).toEqual(rider?.parts[0]?.pairs);
  });

  it("change nothing where the open band was declared", () => {
    const sheets = [0, 1].map(() => ({ bands: "open" as const }));
    const summary = summaryOf(riddenDays({ effects: alike, sheets }));
    expect(summary.comparison.settings).toMatchObject({ bands: "open", planned_runs: 12 });
    expect(told(summary, "undeclared-days")).toEqual([]);
  });
});

describe("what is said of the days", () => {
  it("is what each found, and that they agree", () => {
    expect(told(summaryOf(riddenDays({ effects: alike })), "days")).toEqual([
      {
        level: "note",
        text: "days agree: B -2.2 s on day 1, -2.0 s on day 2 (-2.1 s over all)",
      },
    ]);
  });

  it("is that they do not, which asks what else was different", () => {
    const effects = [
      ["R1", -2],
      ["R1", 1.5],
    ] as const;
    const [remark] = told(summaryOf(riddenDays({ effects })), "days");
    expect(remark).toMatchObject({ level: "warn" });
    expect(remark?.text).toMatch(
      /^days do not agree: B -2\.2 s on day 1, \+1\.3 s on day 2 .*: what else was different\?$/,
    );
  });

  it("is which day says nothing of the pair", () => {
    const order = [MIRRORED, ["B", "B", "B", "B"]];
    const summary = summaryOf(riddenDays({ effects: alike, order }));
    expect(told(summary, "days")).toEqual([
      {
        level: "warn",
        text: "day 2 says nothing about B and A: swap between them within the day",
      },
    ]);
  });

  it("is nothing of a single day", () => {
    expect(told(summaryOf(riddenDays({ effects: [["R1", -2]] })), "days")).toEqual([]);
  });

  it("is no test where nothing scatters", () => {
    const summary = summaryOf(riddenDays({ effects: alike, scatter: 0 }));
    expect(told(summary, "days")[0]?.text).toMatch(/^too few runs to tell whether the days agree/);
  });

  it("is said of several riders together, and of whoever's own days do not agree", () => {
    const effects = [
      ["R1", -2],
      ["R2", -2],
      ["R1", -2],
      ["R2", 3],
    ] as const;
    const remarks = told(summaryOf(riddenDays({ effects })), "days");
    expect(remarks.map(({ text }) => text.split(":")[0])).toEqual([
      "days do not agree",
      "Rider two",
    ]);
  });
});

describe("a later day's sheet", () => {
  const other = { marginS: 0.5, drift: "none", zone: "Europe/London", confidence: 0.9 } as const;

  it("that promised something else is named; the first day's holds", () => {
    const sheets = [
      { days: 2, plannedRuns: 24 },
      { days: 1, ...other, bands: "open", spreads: "common", plannedRuns: null } as const,
    ];
    const summary = summaryOf(riddenDays({ effects: alike, sheets }));
    expect(told(summary, "day-sheets")).toEqual([
      {
        level: "warn",
        text: "the sheet of day 2 differs: planned runs none (day 1: 24), days 1 (day 1: 2), bands open (day 1: plan), worth having 0.5 s (day 1: 0.8 s), trend over the day none (day 1: linear), spreads common (day 1: each), confidence 0.9 (day 1: 0.95), time zone Europe/London (day 1: Europe/Vienna); what day 1 promised holds",
      },
    ]);
    expect(summary.comparison.settings.margin_s).toBe(0.8);
  });

  it("has no say in a plan that does not hold anyway", () => {
    const sheets = [{ marginS: null }, { plannedRuns: 30 }];
    const summary = summaryOf(riddenDays({ effects: alike, sheets }));
    expect(told(summary, "day-sheets").map(({ text }) => text)).toEqual([
      "the sheet of day 2 differs: worth having 0.8 s (day 1: not named); what day 1 promised holds",
    ]);
  });
});

describe("the newest", () => {
  it("finish and first start are the newest day's", () => {
    const j = new JournalWriter().made(handGates);
    j.key(0, 100);
    j.key(2, 220);
    j.nextDay(50, () => {
      j.made(handGates);
      j.key(0, 90);
      j.key(2, 205);
    });
    const { lastFinished, firstStartAt, runs } = summaryOf(j);
    expect(lastFinished?.timeS).toBe(115);
    expect(firstStartAt).toBe(runs[1]?.startedAt);
  });
});
