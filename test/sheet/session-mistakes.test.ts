// Mistakes in the [session] table, in TOML and in the file as a whole: the message for each.
import { describe, expect, test } from "vitest";
import { readSheet } from "../../src/sheet/session-sheet.ts";
import {
  afterSetups,
  inSession,
  type MistakeCase,
  sheetMistake,
  withGates,
} from "./sheet-mistake.ts";

const cases: readonly MistakeCase[] = [
  [
    "a mistyped key",
    inSession("lap_minuts = 9"),
    "3: found unknown key lap_minuts in [session]: did you mean lap_minutes?",
  ],
  [
    "swapped letters in a key",
    inSession("margni_s = 9"),
    "3: found unknown key margni_s in [session]: did you mean margin_s?",
  ],
  [
    "an unknown key like no other",
    withGates('role = "start"', 'role = "finish"\nheight = 3'),
    "11: found unknown key height in [[gates]], want one of role, box, sector, terrain",
  ],
  [
    "an unknown table",
    afterSetups("[[sectors]]"),
    "7: found unknown key sectors, want one of session, gates, riders, setups, swaps, breaks, bikes, parts, settings, lines",
  ],
  [
    "a key in front of its table",
    `margin_s = 2\n${afterSetups("")}`,
    "1: found unknown key margin_s, want it under [session]",
  ],
  [
    "a value outside [setups.values]",
    afterSetups("rear_pressure_bar = 1.6"),
    "7: found unknown key rear_pressure_bar in [[setups]], want it under [setups.values]",
  ],
  [
    "no session",
    '[[setups]]\nid = "A"\n[[setups]]\nid = "B"\n',
    "1: found no [session], want a table [session] with name, date, stretch",
  ],
  [
    "a session without a name",
    '[[setups]]\nid = "A"\n[[setups]]\nid = "B"\n[session]\nminutes = 60\n',
    '5: found [session] without name, want name = "..." (what this session is called)',
  ],
  [
    "a margin below 0",
    inSession("margin_s = -1"),
    "3: found margin_s = -1, want a number of seconds above 0 and at most 86400",
  ],
  [
    "a margin in words",
    inSession('margin_s = "2"'),
    '3: found margin_s = "2", want a number of seconds above 0 and at most 86400',
  ],
  [
    "no number",
    inSession("margin_s = nan"),
    "3: found margin_s = NaN, want a number of seconds above 0 and at most 86400",
  ],
  [
    "no end",
    inSession("minutes = inf"),
    "3: found minutes = Infinity, want a number of minutes above 0 and at most 14400",
  ],
  [
    "half a run",
    inSession("planned_runs = 14.5"),
    "3: found planned_runs = 14.5, want a whole number of counted runs from 1 to 1000",
  ],
  [
    "no runs",
    inSession("planned_runs = 0"),
    "3: found planned_runs = 0, want a whole number of counted runs from 1 to 1000",
  ],
  [
    "too many runs",
    inSession("planned_runs = 1001"),
    "3: found planned_runs = 1001, want a whole number of counted runs from 1 to 1000",
  ],
  [
    "too sure",
    inSession("confidence = 1"),
    "3: found confidence = 1, want a number from 0.9 to 0.999",
  ],
  [
    "not sure enough",
    inSession("confidence = 0.89"),
    "3: found confidence = 0.89, want a number from 0.9 to 0.999",
  ],
  [
    "a percentage",
    inSession("confidence = 95"),
    "3: found confidence = 95, want a number from 0.9 to 0.999",
  ],
  [
    "another model",
    inSession('drift = "quadratic"'),
    '3: found drift = "quadratic", want "none", "linear" or "learning"',
  ],
  [
    "a plan band without a plan",
    inSession('bands = "plan"'),
    '3: found bands = "plan" without planned_runs, want planned_runs = ... as well, or bands = "open"',
  ],
  [
    "a day that does not exist",
    inSession("date = 2026-02-30"),
    "3: found date = 2026-02-30, want a date that exists, as 2026-05-09",
  ],
  [
    "a day in quotes that does not exist",
    inSession('date = "2025-02-29"'),
    '3: found date = "2025-02-29", want a date that exists, as 2026-05-09',
  ],
  [
    "a time of day with the date",
    inSession("date = 2026-05-09T10:00:00Z"),
    "3: found date = 2026-05-09T10:00:00Z, want a date that exists, as 2026-05-09",
  ],
  [
    "a date the other way round",
    inSession('date = "09.05.2026"'),
    '3: found date = "09.05.2026", want a date that exists, as 2026-05-09',
  ],
  [
    "a mistyped zone",
    inSession('zone = "Europe/Viena"'),
    '3: found zone = "Europe/Viena": did you mean Europe/Vienna?',
  ],
  [
    "an offset for a zone",
    inSession('zone = "+02:00"'),
    '3: found zone = "+02:00", want an IANA name, as "Europe/Vienna"',
  ],
  ["a seed below 0", inSession("seed = -7"), "3: found seed = -7, want a whole number, 0 or more"],
  [
    "limits crossed",
    inSession("travel_min_s = 60\ntravel_max_s = 50"),
    "4: found travel_min_s 60 and travel_max_s 50, want travel_min_s below travel_max_s (left out: half and three times expected_run_s, else 10 and 1800)",
  ],
  [
    "steeper than a wall",
    inSession("length_m = 90\ndrop_m = 140"),
    "4: found drop_m = 140 on length_m = 90, want a drop no larger than the length, both in metres",
  ],
  [
    "ESC in a name",
    inSession('stretch = "a\\u001b[2J"'),
    '3: found stretch = "a\\u001b[2J", want text without control characters (tab, new line, escape)',
  ],
  [
    "a name over two lines",
    inSession('stretch = """a\nb"""'),
    '3: found stretch = "a\\u000ab", want text without control characters (tab, new line, escape)',
  ],
  [
    "a mark that turns text round",
    inSession('stretch = "a\u202eb"'),
    '3: found stretch = "a\\u202eb", want text without control characters (tab, new line, escape)',
  ],
  [
    "a blank name",
    inSession('stretch = " "'),
    '3: found stretch = " ", want text that is not empty, or the key left out',
  ],
  [
    "an endless name",
    inSession(`stretch = "${"x".repeat(201)}"`),
    `3: found stretch = "${"x".repeat(37)}...", want at most 200 characters`,
  ],
  [
    "session twice over",
    inSession("").replace("[session]", "[[session]]"),
    "1: found session = a list, want a table [session]",
  ],
  [
    "one table for many",
    afterSetups('[gates]\nrole = "start"'),
    "7: found gates = a table, want tables headed [[gates]], one for each",
  ],
  [
    "a word among tables",
    `riders = ["R1"]\n${afterSetups("")}`,
    '1: found "R1" in riders, want tables headed [[riders]], one for each',
  ],
  [
    "a decimal comma",
    inSession("margin_s = 1,5"),
    '3: found "margin_s = 1,5" (illegal character in numeric literal), want a decimal point, as 1.5',
  ],
  [
    "a colon for an equals sign",
    inSession("margin_s: 1.5"),
    '3: found "margin_s: 1.5" (illegal character in key), want key = value',
  ],
  [
    "text without quotes",
    inSession("stretch = Hollow oak"),
    '3: found "stretch = Hollow oak" (invalid value), want text in double quotes',
  ],
  [
    "yes for true",
    afterSetups("baseline = yes"),
    '7: found "baseline = yes" (invalid value), want true or false',
  ],
  [
    "a key twice",
    inSession("minutes = 1\nminutes = 2"),
    '4: found "minutes = 2" (trying to redefine an already defined table or value), want each key and each [table] once',
  ],
  [
    "a quote never closed",
    afterSetups('name = "B'),
    '7: found "name = \\"B" (unfinished string), want TOML: [table] or key = value, text in double quotes',
  ],
  [
    "text that is not UTF-8",
    inSession('stretch = "Gr\ufffdn"'),
    "3: found bytes that are not UTF-8, want the file saved as UTF-8 text",
  ],
  [
    "UTF-16",
    "[\0s\0",
    "1: found a NUL character (a UTF-16 file?), want the file saved as UTF-8 text",
  ],
  [
    "a file that ends in mid-value",
    "[session]\nname =",
    '2: found "name =" (invalid value), want TOML: [table] or key = value, text in double quotes',
  ],
];

describe("a mistake in a sheet", () => {
  test.each(cases)("%s", (_what, text, message) => {
    const error = sheetMistake(text);
    expect(error.code).toBe("bad-input");
    expect(error.message).toBe(`day.toml:${message}`);
    expect(error.hint).toBe("mend the sheet and run the command again; nothing was written");
  });

  test("all are named at once, in the order of the file", () => {
    const error = sheetMistake(
      inSession('date = 2026-02-30\nmargin_s = -1\nzone = "Nowhere"\nx = 1'),
    );
    expect(error.message.split("\n").map((l) => l.split(":")[1])).toEqual(["3", "4", "5", "6"]);
  });

  test("more than ten are counted", () => {
    const lines = Array.from({ length: 13 }, (_, i) => `unheard_of_${String(i)} = 1`).join("\n");
    const shown = sheetMistake(inSession(lines)).message.split("\n");
    expect(shown).toHaveLength(11);
    expect(shown[10]).toBe("day.toml: and 3 more");
  });

  test("a file's name cannot drive the terminal", () => {
    expect(() =>
      readSheet("", "\u001b[2J.toml", { zone: "UTC", date: "2026-01-31", seed: 1 }),
    ).toThrow("\\u001b[2J.toml:1: found no");
  });
});
