// Reading times from CSV: columns, forms of times, and the exact message for each mistake.
import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { UserError } from "../../src/domain/errors.ts";
import { csvRecords, separatorOf } from "../../src/sheet/csv-records.ts";
import { readSheet } from "../../src/sheet/session-sheet.ts";
import { readTimes } from "../../src/sheet/times-csv.ts";
import { exampleOf } from "./rfc-examples.ts";

const one = {
  riders: [{ id: "R1" }],
  setups: [{ id: "A" }, { id: "B" }],
  sectors: ["Roots", "Steep gully"],
};
const two = { ...one, riders: [{ id: "R1" }, { id: "R2" }] };
const read = (text: string, of = one) => readTimes(text, "times.csv", of);
const blank = { rider: "R1", uncertaintyS: null, startedAtUs: null, reason: null };

describe("readTimes", () => {
  test("the shortest file: a set-up and a time", () => {
    expect(read("setup,time_s\nA,131.2\nB,2:09.75\n")).toEqual([
      { ...blank, setup: "A", status: "ok", timeS: 131.2, sectorS: [null, null] },
      { ...blank, setup: "B", status: "ok", timeS: 129.75, sectorS: [null, null] },
    ]);
  });

  test("every column, in any order, between semicolons, with a byte order mark and CRLF", () => {
    const text =
      "\ufeffstatus;sector_2_s;time_s;rider;started_at;setup;uncertainty_s;sector_1_s;reason\r\n" +
      "warm-up;60;2:11.250;R2;2026-05-09T10:31:00.5+02:00;B;0.2;71.25;\r\n" +
      'void;;;R1;;A;;;"a walker; two, in fact"\r\n';
    expect(read(text, two)).toEqual([
      {
        rider: "R2",
        setup: "B",
        status: "warm-up",
        timeS: 131.25,
        uncertaintyS: 0.2,
        sectorS: [71.25, 60],
        startedAtUs: Date.UTC(2026, 4, 9, 8, 31, 0, 500) * 1000,
        reason: null,
      },
      {
        ...blank,
        setup: "A",
        status: "void",
        timeS: null,
        sectorS: [null, null],
        reason: "a walker; two, in fact",
      },
    ]);
  });

  test("times are rounded to a microsecond, halves up", () => {
    const times = (cell: string) => read(`setup,time_s\nA,${cell}`)[0]?.timeS;
    expect(times("121.4821234")).toBe(121.482123);
    expect(times("121.4821235")).toBe(121.482124);
    expect(times("0.0000005")).toBe(0.000001);
    expect(times("59.9999999")).toBe(60);
    expect(times("1:00.0000004999")).toBe(60);
    expect(times("0:07")).toBe(7);
    expect(times("86400")).toBe(86_400);
  });

  test("blank lines and empty rows are passed over; line breaks in a reason become blanks", () => {
    const text = 'setup,time_s,status,reason\n\nA,,dnf,"slid\r\noff"\n,,,\nA, 130.5 ,,\n\n';
    expect(read(text).map((r) => [r.timeS, r.reason])).toEqual([
      [null, "slid off"],
      [130.5, null],
    ]);
  });

  test("sectors that add up within 5 ms are taken", () => {
    const sums = (a: string) => () => read(`setup,time_s,sector_1_s,sector_2_s\nA,10,4,${a}`);
    expect(sums("6.005")()[0]?.sectorS).toEqual([4, 6.005]);
    expect(sums("5.995")()[0]?.sectorS).toEqual([4, 5.995]);
    expect(sums("6.005001")).toThrow("times.csv:2: found sectors that add up to 10.005001");
    expect(sums("5.994999")).toThrow("times.csv:2: found sectors that add up to 9.994999");
  });

  test("the sample of a stopwatch day is read against its sheet", () => {
    const file = (name: string) =>
      readFileSync(new URL(`../../samples/${name}`, import.meta.url), "utf8");
    const sheet = readSheet(file("hand-times.toml"), "hand-times.toml", {
      zone: "UTC",
      date: "2026-01-01",
      seed: 1,
    });
    const rows = readTimes(file("hand-times.csv"), "hand-times.csv", { ...sheet, sectors: ["x"] });
    expect(rows).toHaveLength(14);
    expect(rows.filter((r) => r.status === "ok")).toHaveLength(10);
    expect(rows.map((r) => r.startedAtUs)).toEqual(
      rows.map((r) => r.startedAtUs).sort((a, b) => Number(a) - Number(b)),
    );
    expect(rows[0]?.timeS).toBe(136.8);
  });
});

const mistakes: readonly (readonly [what: string, text: string, message: string])[] = [
  [
    "an empty file",
    "",
    "1: found an empty file, want a header row with setup and time_s, between commas or semicolons",
  ],
  ["a header alone", "setup,time_s\r\n", "1: found no rows below the header, want a row a run"],
  [
    "no column of times",
    "setup\nA",
    "1: found no column time_s, want a header row with setup and time_s, between commas or semicolons",
  ],
  [
    "a mistyped column",
    "setup,time_s,statsu\nA,1,ok",
    '1: found unknown column "statsu": did you mean status?',
  ],
  [
    "a column like no other",
    "setup,time_s,weather\nA,1,ok",
    '1: found unknown column "weather", want one of setup, time_s, rider, status, reason, started_at, uncertainty_s, sector_1_s',
  ],
  [
    "a column twice",
    "setup,time_s,setup\nA,1,B",
    '1: found column "setup" twice, want each column once',
  ],
  [
    "a sector too many",
    "setup,time_s,sector_1_s,sector_2_s,sector_3_s\nA,1,,,",
    '1: found unknown column "sector_3_s", want no more than the 2 sectors of the stretch',
  ],
  [
    "a sector column missing",
    "setup,time_s,sector_2_s\nA,1,",
    "1: found only sector_2_s, want all of sector_1_s, sector_2_s, or none",
  ],
  ["a set-up that is none", "setup,time_s\nA,1\nC,2", '3: found setup "C", want A or B'],
  ["no set-up", "setup,time_s\n,2", "2: found no setup, want A or B"],
  ["a rider that is none", "setup,time_s,rider\nA,1,Rx", '2: found rider "Rx", want R1'],
  ["no time", "setup,time_s\nA,", "2: found no time_s, want a time, or the status dnf or void"],
  [
    "no time of a warm-up",
    "setup,time_s,status\nA,,warm-up",
    "2: found no time_s, want a time, or the status dnf or void",
  ],
  [
    "a decimal comma",
    "setup;time_s\nA;131,2",
    '2: found time_s "131,2", want a decimal point: 131.2',
  ],
  [
    "a decimal comma between commas",
    "setup,time_s\nA,131,2",
    "2: found 3 fields, want 2, as in the header (decimals take a point, not a comma)",
  ],
  ["a field short", "setup;time_s;status\nA;131.2", "2: found 2 fields, want 3, as in the header"],
  ...[
    "-131.2",
    "0",
    "1e2",
    "2:60.0",
    "1:02:03",
    "131.",
    ".5",
    "NaN",
    "86400.1",
    "+5",
    "2:9.75",
  ].map((cell): readonly [string, string, string] => [
    `the time ${cell}`,
    `setup,time_s\nA,${cell}`,
    `2: found time_s "${cell}", want seconds above 0 with a decimal point, or m:ss.fff`,
  ]),
  [
    "another status",
    "setup,time_s,status\nA,1,OK",
    '2: found status "OK", want ok, warm-up, void or dnf',
  ],
  [
    "a start without its offset",
    "setup,time_s,started_at\nA,1,2026-05-09T10:31:00",
    '2: found started_at "2026-05-09T10:31:00", want RFC 3339 with its offset, as 2026-05-09T10:31:00+02:00',
  ],
  [
    "an uncertainty below 0",
    "setup,time_s,uncertainty_s\nA,1,-0.2",
    '2: found uncertainty_s "-0.2", want seconds from 0 to 60 with a decimal point',
  ],
  [
    "an uncertainty with a comma",
    "setup;time_s;uncertainty_s\nA;1;0,2",
    '2: found uncertainty_s "0,2", want a decimal point: 0.2',
  ],
  [
    "half the sectors",
    "setup,time_s,sector_1_s,sector_2_s\nA,10,4,",
    "2: found 1 of 2 sectors, want all of them, or none in this row",
  ],
  [
    "sectors without a time",
    "setup,time_s,status,sector_1_s,sector_2_s\nA,,void,4,6",
    "2: found sectors without time_s, want time_s as well",
  ],
  [
    "a reason that drives a terminal",
    "setup,time_s,reason\nA,1,\u001b[2J",
    '2: found reason "\\u001b[2J", want text without control characters',
  ],
  [
    "an endless reason",
    `setup,time_s,reason\nA,1,${"x".repeat(501)}`,
    "2: found a reason of 501 characters, want at most 500",
  ],
  [
    "a quote never closed",
    'setup,time_s\nA,1\nB,"2\n',
    '3: found an opening quote that is never closed, want quotes around the whole field, quotes inside it doubled: "a ""b"" c"',
  ],
  [
    "a quote in the middle",
    'setup,time_s\nA,1\nB,2"\n',
    '3: found a quote in the middle of a field, want quotes around the whole field, quotes inside it doubled: "a ""b"" c"',
  ],
  [
    "a bad row behind line breaks in quotes",
    'setup,time_s,reason\r\n\r\nA,1,"a\r\nb\r\nc"\r\n"A",2,"d\ne"\r\nA,x,\r\n',
    '8: found time_s "x", want seconds above 0 with a decimal point, or m:ss.fff',
  ],
  [
    "a bad row that holds line breaks counts from its first line",
    'setup,time_s,reason\nA,x,"a\nb\nc"\n',
    '2: found time_s "x", want seconds above 0 with a decimal point, or m:ss.fff',
  ],
];

describe("a mistake in a CSV of times", () => {
  test.each(mistakes)("%s", (_what, text, message) => {
    expect(() => read(text)).toThrow(UserError);
    expect(() => read(text)).toThrow(
      new UserError(
        "bad-input",
        `times.csv:${message}`,
        "mend the file and import it again; nothing was imported",
      ),
    );
  });

  test("with several riders each row names one", () => {
    expect(() => read("setup,time_s\nA,1", two)).toThrow(
      "times.csv:2: found no rider, want R1 or R2",
    );
  });

  test("every bad row is named, up to ten", () => {
    const text = `setup,time_s\n${"A,x\n".repeat(12)}`;
    try {
      read(text);
      expect.unreachable();
    } catch (error) {
      const lines = error instanceof UserError ? error.message.split("\n") : [];
      expect(lines).toHaveLength(11);
      expect(lines[9]).toMatch(/^times\.csv:11: /);
      expect(lines[10]).toBe("times.csv: and 2 more");
    }
  });
});

describe("csvRecords", () => {
  // RFC 4180, section 2, rules 1-7 (examples in data/rfc-examples.json, texts from memory there).
  test("reads the examples of RFC 4180", () => {
    const { inputs, expected } = exampleOf("rfc4180-examples");
    expect(inputs.text).toHaveLength(5);
    const got = inputs.text?.map((text) => {
      const read = csvRecords(text, ",");
      return read.ok ? read.value.map((r) => r.fields) : read.error;
    });
    expect(got).toEqual(expected.records);
  });

  test("the separator is the one that the header holds more of, outside quotes", () => {
    expect(separatorOf("a,b;c,d\n;;;;")).toBe(",");
    expect(separatorOf("a;b\n,,,,")).toBe(";");
    expect(separatorOf('"a,b,c";d')).toBe(";");
    expect(separatorOf("a")).toBe(",");
  });
});
