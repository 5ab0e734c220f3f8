// Two lists of times of day to runs: the watches' difference, pairing, and the message for each mistake.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { UserError } from "../../src/domain/errors.ts";
import { localMidnight } from "../../src/sheet/local-time.ts";
import { readWatchTimes, type WatchDay } from "../../src/sheet/watch-times.ts";

const DAY: WatchDay = {
  riders: [{ id: "R1" }],
  setups: [{ id: "A" }, { id: "B" }],
  sectors: ["Roots", "Gully"],
  date: "2026-05-09",
  zone: "Europe/Vienna",
  isByRadio: false,
};
const TWO: WatchDay = { ...DAY, riders: [{ id: "R1" }, { id: "R2" }] };

const list = (header: string, rows: readonly string[]) => [header, ...rows].join("\n");
function read(start: readonly string[], finish: readonly string[], of = DAY) {
  return readWatchTimes(
    { file: "top.csv", text: list("time_of_day,rider,setup,status,note", start) },
    { file: "bottom.csv", text: list("time_of_day,rider,setup,status,note", finish) },
    of,
  );
}

function refusal(start: readonly string[], finish: readonly string[], of = DAY): string {
  try {
    read(start, finish, of);
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
    expect(error.code).toBe("bad-input");
    expect(error.hint).toContain("nothing was imported");
    return error.message;
  }
  throw new TypeError("it was not refused");
}

const timesOf = ({ rows }: ReturnType<typeof read>) => rows.map(({ timeS }) => timeS);

describe("the shortest lists", () => {
  it("give runs with their starts, in the zone's time of day", () => {
    const { rows, about } = read(["10:00:00,,A,,"], ["10:02:11.25,,,,line moved"]);
    expect(rows).toEqual([
      {
        rider: "R1",
        setup: "A",
        status: "ok",
        timeS: 131.25,
        // Two presses of 0.2 s.
        uncertaintyS: 0.283,
        sectorS: [null, null],
        // Summer time: two hours ahead of UTC.
        startedAtUs: Date.UTC(2026, 4, 9, 8) * 1000,
        reason: "line moved",
      },
    ]);
    expect(about).toEqual([
      "no sync: the watches are taken to show the same time; what they differ by is in every run time alike, and no uncertainty is reckoned for it",
      "each run time is uncertain by 0.28 s: a press 0.2 s at each end, and the sync",
    ]);
  });

  it("need the column of times alone, between semicolons too", () => {
    const { rows } = readWatchTimes(
      { file: "top.csv", text: "\ufefftime_of_day;setup\r\n9:05:00;B\r\n\r\n" },
      { file: "bottom.csv", text: "time_of_day\n09:07:00.5\n" },
      DAY,
    );
    expect(rows).toMatchObject([{ setup: "B", timeS: 120.5 }]);
  });
});

describe("the watches' difference", () => {
  const starts = ["09:00:00,,,sync,", "10:00:00,,A,,", "12:00:00,,B,,", "17:00:00,,,sync,"];

  it("is a straight line between two syncs", () => {
    // 12 s ahead in the morning, 13.6 s eight hours later: 0.2 s an hour.
    const finishes = ["09:00:12,,,sync,", "10:02:12.2,,,,", "12:02:12.6,,,,", "17:00:13.6,,,sync,"];
    const { rows, about } = read(starts, finishes);
    // Ahead by 12 s and a share of 1.6 s: 1 h and 3 h on, and two minutes, of eight hours.
    const left = [1, 3].map((hours, i) => {
      const atUs = hours * 3600 + 120 + (i === 0 ? 0.2 : 0.6);
      return 120 + (i === 0 ? 12.2 : 12.6) - (12 + (1.6 * atUs) / (8 * 3600 + 1.6));
    });
    expect(rows[0]?.timeS).toBeCloseTo(left[0] ?? 0, 6);
    expect(rows[1]?.timeS).toBeCloseTo(left[1] ?? 0, 6);
    expect(rows[0]?.timeS).toBeCloseTo(120, 1);
    expect(about[0]).toBe(
      "two syncs: the finish watch was 12.00 s ahead at the first and 13.60 s ahead at the last, taken as a straight line in between",
    );
    // sqrt(0.04 + 0.04 + 0.08 ((1 - w)^2 + w^2)), w = 0.1271 and 0.3792.
    expect(rows.map((row) => row.uncertaintyS)).toEqual([0.377, 0.35]);
  });

  it("is constant with one sync, at either end of the day", () => {
    for (const end of ["first", "last"] as const) {
      const ends = (sync: string, rows: string[]) =>
        end === "first" ? [sync, ...rows] : [...rows, sync];
      const at = end === "first" ? "09:00" : "17:00";
      const { rows, about } = read(
        ends(`${at}:20,,,sync,`, ["10:00:00,,A,,"]),
        ends(`${at}:12.5,,,sync,`, ["10:02:00,,,,"]),
      );
      expect(rows).toMatchObject([{ timeS: 127.5, uncertaintyS: 0.4 }]);
      expect(about[0]).toContain("7.50 s behind");
    }
  });

  it("by radio is known less well", () => {
    const { rows, about } = read(["10:00:00,,A,,"], ["10:02:00,,,,"], { ...DAY, isByRadio: true });
    expect(rows[0]?.uncertaintyS).toBe(0.346);
    expect(about[1]).toContain("the radio 0.2 s");
  });

  it("moves every time alike, however far the watches are apart", () => {
    fc.assert(
      fc.property(fc.integer({ min: -20_000, max: 20_000 }), (aheadS) => {
        const shown = (s: number) =>
          new Date(Date.UTC(2026, 4, 9) + (s + aheadS) * 1000).toISOString().slice(11, 19);
        const noon = 12 * 3600;
        const { rows } = read(
          ["12:00:00,,,sync,", "12:10:00,,A,,", "12:20:00,,B,,"],
          [`${shown(noon)},,,sync,`, `${shown(noon + 730)},,,,`, `${shown(noon + 1325)},,,,`],
        );
        expect(rows.map(({ timeS }) => timeS)).toEqual([130, 125]);
      }),
      { seed: 20, numRuns: 60 },
    );
  });

  it.each([
    [
      "syncs that do not fit together",
      ["09:00:00,,,sync,", "10:00:00,,A,,", "17:00:00,,,sync,"],
      ["09:00:12,,,sync,", "10:02:12,,,,", "17:01:12,,,sync,"],
      /^bottom\.csv:4: found a last sync 8\.0 h after the first, at which the watches are 60\.00 s further apart, want the same two instants/,
    ],
    [
      "a sync in one list alone",
      ["09:00:00,,,sync,", "10:00:00,,A,,"],
      ["10:02:12,,,,"],
      /^top\.csv:2: found a sync as first row, and none in the other list, want/,
    ],
    [
      "syncs at different ends",
      ["09:00:00,,,sync,", "10:00:00,,A,,"],
      ["10:02:12,,,,", "17:00:00,,,sync,"],
      /^top\.csv:2: found a sync as first row.*\nbottom\.csv:3: found a sync as last row/,
    ],
    [
      "a sync in the middle",
      ["10:00:00,,A,,", "11:00:00,,,sync,", "12:00:00,,A,,"],
      ["10:02:00,,,,", "12:02:00,,,,"],
      /^top\.csv:3: found a sync at 11:00:00 in the middle, want a sync as the first or the last row$/,
    ],
  ])("is refused with %s", (_, start, finish, message) => {
    expect(refusal(start, finish)).toMatch(message);
  });
});

describe("across midnight", () => {
  it("the day goes on, whichever list crosses it", () => {
    const { rows } = read(
      ["23:50:00,,A,,", "23:59:30,,B,,", "00:20:00,,A,,"],
      ["23:52:00,,,,", "00:01:40,,,,", "00:22:05,,,,"],
    );
    expect(rows.map(({ timeS }) => timeS)).toEqual([120, 130, 125]);
    expect(rows[2]?.startedAtUs).toBe(Date.UTC(2026, 4, 9, 22, 20) * 1000);
    expect(timesOf(read(["23:59:00,,A,,"], ["00:01:00,,,,"]))).toEqual([120]);
  });

  it("a watch that is past midnight while the other is not yet is of the same day", () => {
    const start = ["23:59:30,,,sync,", "23:59:50,,A,,"];
    expect(timesOf(read(start, ["00:00:30,,,sync,", "00:02:50,,,,"]))).toEqual([120]);
    const later = ["00:00:30,,,sync,", "00:00:50,,A,,"];
    expect(timesOf(read(later, ["23:59:30,,,sync,", "00:01:50,,,,"]))).toEqual([120]);
  });

  it("a list out of order is refused", () => {
    expect(refusal(["10:05:00,,A,,", "10:00:00,,A,,"], ["10:02:00,,,,"])).toBe(
      "top.csv:3: found 10:00:00 below 10:05:00, want the list in order of time",
    );
  });
});

describe("pairing", () => {
  it("goes by rider, who may overtake, and first in, first out where none is named", () => {
    const starts = ["10:00:00,R1,A,,", "10:00:30,R2,B,,"];
    const named = read(starts, ["10:02:20,R2,,,", "10:02:30,R1,,,"], TWO);
    expect(named.rows.map(({ rider, timeS }) => [rider, timeS])).toEqual([
      ["R1", 150],
      ["R2", 110],
    ]);
    const unnamed = read(starts, ["10:02:20,,,,", "10:02:30,,,,"], TWO);
    expect(timesOf(unnamed)).toEqual([140, 120]);
    expect(unnamed.about.at(-1)).toBe("finishes that name no rider: 2, paired first in, first out");
  });

  it("takes set-up, status and note from either list", () => {
    const { rows } = read(
      ["10:00:00,,,warm-up,", "10:10:00,,A,ok,gusts", "10:20:00,,B,dnf,chain", "10:30:00,,B,void,"],
      ["10:02:00,,B,,", "10:12:00,,A,void,held up"],
    );
    expect(rows).toMatchObject([
      { setup: "B", status: "warm-up", timeS: 120, reason: null },
      { setup: "A", status: "void", timeS: 120, reason: "gusts; held up" },
      { setup: "B", status: "dnf", timeS: null, uncertaintyS: null, reason: "chain" },
      { setup: "B", status: "void", timeS: null },
    ]);
  });

  it.each([
    [
      "a start without a finish",
      ["10:00:00,,A,,", "10:10:00,,A,,"],
      ["10:02:00,,,,"],
      "top.csv:3: found start of R1 at 10:10:00 without a finish, want its finish in bottom.csv, or the status dnf",
    ],
    [
      "two starts and one finish",
      ["10:00:00,,A,,", "10:10:00,,A,,"],
      ["10:12:00,,,,"],
      "top.csv:2: found start of R1 at 10:00:00 without a finish before the start in line 3, want its finish in bottom.csv, or the status dnf",
    ],
    [
      "a finish without a start",
      ["10:00:00,,A,,"],
      ["10:02:00,,,,", "10:03:00,R1,,,"],
      "bottom.csv:3: found a finish at 10:03:00 with R1 not on course, want its start in top.csv, before it, or the row taken out",
    ],
    [
      "lists the wrong way round",
      ["10:02:00,,A,,"],
      ["10:00:00,,,,"],
      "top.csv:2: found start of R1 at 10:02:00 without a finish, want its finish in bottom.csv, or the status dnf\nbottom.csv:2: found a finish at 10:00:00 with nobody on course, want its start in top.csv, before it, or the row taken out",
    ],
    [
      "no set-up anywhere",
      ["10:00:00,,,,"],
      ["10:02:00,,,,"],
      "top.csv:2: found no setup, want A or B, in one of the lists",
    ],
    [
      "two set-ups for one run",
      ["10:00:00,,A,,"],
      ["10:02:00,,B,,"],
      "bottom.csv:2: found set-up B, and A at the start in line 2, want the same in both lists",
    ],
    [
      "a dnf that has finished",
      ["10:00:00,,A,,"],
      ["10:02:00,,,dnf,"],
      'bottom.csv:2: found status "dnf", want ok, warm-up, void or sync',
    ],
    [
      "what no list can hold",
      ["10:61:00,,A,,", "10:00:00,R9,C,,", "10:00,,A,,", "24:00:00,,A,,"],
      ["10:00:01,,,,", "10:00:07,5,,,"],
      'top.csv:2: found time_of_day "10:61:00", want hours, minutes and seconds, as 10:31:07.4\ntop.csv:3: found rider "R9", want R1\ntop.csv:3: found setup "C", want A or B\ntop.csv:4: found time_of_day "10:00", want hours, minutes and seconds, as 10:31:07.4\ntop.csv:5: found time_of_day "24:00:00", want hours, minutes and seconds, as 10:31:07.4\nbottom.csv:3: found rider "5", want R1',
    ],
  ])("%s is refused with its line", (_, start, finish, message) => {
    expect(refusal(start, finish)).toBe(message);
  });

  it("with several riders a start names its own", () => {
    expect(refusal(["10:00:00,,A,,"], ["10:02:00,R1,,,"], TWO)).toMatch(
      /^top\.csv:2: found no rider, want R1 or R2/,
    );
  });

  it("an empty list, an unknown column or one without times is refused", () => {
    const refused = (text: string) => {
      const finish = { file: "bottom.csv", text: "time_of_day\n10:00:00" };
      expect(() => readWatchTimes({ file: "top.csv", text }, finish, DAY)).toThrow(UserError);
      try {
        readWatchTimes({ file: "top.csv", text }, finish, DAY);
      } catch (error) {
        return error instanceof Error ? error.message : "";
      }
      return "";
    };
    expect(refused("")).toBe("top.csv:1: found an empty file, want a header row with time_of_day");
    expect(refused("time_of_day\n")).toMatch(/no times in the list/);
    expect(refused("time_of_days,setup\n10:00:00,A")).toMatch(/did you mean time_of_day\?/);
    expect(refused("time_of_day,time_of_day\n")).toMatch(/twice/);
    expect(refused("time_of_day\n10:00:00,5")).toMatch(/found 2 fields, want 1/);
    expect(refused("time_of_day;setup\n10:00:00,5;A")).toMatch(/a decimal point: 10:00:00\.5/);
    expect(refused("time_of_day\0")).toMatch(/NUL/);
    expect(refused('time_of_day,note\n10:00:00,"a\u001b[2J"')).toMatch(/control characters/);
  });
});

it("any lists are read or refused in words", () => {
  const cell = fc.constantFrom(
    "10:00:00",
    "10:02:00",
    "00:00:01",
    "23:59:59.9",
    "",
    "sync",
    "R1",
    "A",
    "dnf",
    "x",
  );
  const rows = fc.array(
    fc.tuple(cell, cell, cell, cell, cell).map((cells) => cells.join(",")),
    { maxLength: 6 },
  );
  fc.assert(
    fc.property(rows, rows, (start, finish) => {
      try {
        for (const row of read(start, finish).rows) {
          expect(row.timeS ?? 1).toBeGreaterThanOrEqual(0);
        }
      } catch (error) {
        expect(error).toBeInstanceOf(UserError);
      }
    }),
    { seed: 21, numRuns: 300 },
  );
});

it("midnight is the zone's, on days whose clocks change too", () => {
  const hours = (date: string, zone: string) =>
    (localMidnight(date, zone) / 1000 - Date.parse(`${date}T00:00:00Z`)) / 3600e3;
  expect(hours("2026-05-09", "Europe/Vienna")).toBe(-2);
  expect(hours("2026-01-09", "Europe/Vienna")).toBe(-1);
  // Clocks go forward at 2:00 on this day, back at 3:00 on that: midnight comes before.
  expect(hours("2026-03-29", "Europe/Vienna")).toBe(-1);
  expect(hours("2026-10-25", "Europe/Vienna")).toBe(-2);
  expect(hours("2026-05-09", "Pacific/Auckland")).toBe(-12);
  expect(hours("2026-05-09", "America/St_Johns")).toBe(2.5);
  expect(() => localMidnight("next week", "Europe/Vienna")).toThrow(RangeError);
});
