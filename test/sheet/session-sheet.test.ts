// Reading session sheets: what they mean, what the gaps are filled with.
import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { NO_HOURS } from "../../src/domain/day-hours.ts";
import { NO_GEAR } from "../../src/domain/gear.ts";
import { readSheet } from "../../src/sheet/session-sheet.ts";
import { writeSheet } from "../../src/sheet/sheet-writer.ts";

const defaults = { zone: "Europe/Vienna", date: "2026-01-31", seed: 12345 };
const read = (text: string) => readSheet(text, "day.toml", defaults);
const twoSetups = '[[setups]]\nid = "A"\n[[setups]]\nid = "B"\n';
const shortest = `[session]\nname = "Short"\n${twoSetups}`;
const sample = (name: string) =>
  readFileSync(new URL(`../../samples/${name}`, import.meta.url), "utf8");

describe("readSheet", () => {
  test("a full sheet is read as it is written", () => {
    const sheet = read(sample("insert-test.toml"));
    expect(sheet.settings).toEqual({
      name: "Foam insert in the rear tyre",
      date: "2026-05-09",
      zone: "Europe/Vienna",
      stretch: "Hollow oak",
      expectedRunS: 130,
      lengthM: 900,
      dropM: 140,
      marginS: 1.5,
      plannedRuns: 14,
      days: 1,
      minutes: 300,
      lapMinutes: 9,
      spreadS: 1.6,
      drift: "linear",
      bands: "plan",
      spreads: "each",
      mainSetup: null,
      confidence: 0.95,
      seed: 7,
      travelMinS: 65,
      travelMaxS: 390,
      spreadDf: null,
      aspects: [],
      start: null,
    });
    expect(sheet.gates).toEqual([
      { role: "start", box: "S1", sector: null, terrain: null },
      { role: "split", box: "P1", sector: "Roots", terrain: "flat and fast" },
      { role: "finish", box: "F1", sector: "Steep gully", terrain: "steep, loose" },
    ]);
    expect(sheet.riders).toEqual([
      { id: "R1", name: "Rider one", tag: null, newTo: ["B"], setups: null, plannedRuns: null },
    ]);
    expect(sheet.setups.map((s) => [s.id, s.name, s.baseline])).toEqual([
      ["A", "No insert", true],
      ["B", "Foam insert", false],
    ]);
    expect(sheet.setups[1]?.values).toEqual({ ...sheet.setups[0]?.values, rear_insert: "foam" });
    expect(sheet.setups[0]?.values).toMatchObject({ rear_insert: "none", rear_wheel_mm: 622 });
    expect(sheet.swaps).toEqual([
      { from: "A", to: "B", minutes: 12, place: null },
      { from: "B", to: "A", minutes: 10, place: null },
    ]);
  });

  test("the shortest sheet gets every default", () => {
    expect(read(shortest)).toEqual({
      settings: {
        name: "Short",
        date: "2026-01-31",
        zone: "Europe/Vienna",
        stretch: "Short",
        expectedRunS: null,
        lengthM: null,
        dropM: null,
        marginS: null,
        plannedRuns: null,
        days: 1,
        minutes: null,
        lapMinutes: null,
        spreadS: null,
        drift: "linear",
        bands: "open",
        spreads: "each",
        mainSetup: null,
        confidence: 0.95,
        seed: 12345,
        travelMinS: 10,
        travelMaxS: 1800,
        spreadDf: null,
        aspects: [],
        start: null,
      },
      gates: [
        { role: "start", box: null, sector: null, terrain: null },
        { role: "finish", box: null, sector: null, terrain: null },
      ],
      riders: [{ id: "R1", name: "Rider", tag: null, newTo: [], setups: null, plannedRuns: null }],
      setups: [
        {
          id: "A",
          name: "A",
          baseline: true,
          values: {},
          worthS: null,
          price: null,
          weightKg: null,
        },
        {
          id: "B",
          name: "B",
          baseline: false,
          values: {},
          worthS: null,
          price: null,
          weightKg: null,
        },
      ],
      swaps: [],
      hours: NO_HOURS,
      gear: NO_GEAR,
      explored: null,
      lines: [],
    });
  });

  test("planned runs make the plan band the default, and only they", () => {
    const withRuns = (more: string) =>
      read(`[session]\nname = "x"\nplanned_runs = 12\n${more}\n${twoSetups}`).settings.bands;
    expect(withRuns("")).toBe("plan");
    expect(withRuns('bands = "open"\n')).toBe("open");
    expect(read(shortest).settings.bands).toBe("open");
  });

  test("a rider may ride some set-ups only, and so many runs", () => {
    const [rider] = read(
      `[session]\nname = "x"\nplanned_runs = 12\n[[riders]]\nid = "R1"\nsetups = ["B", "A", "B"]\nplanned_runs = 8\n${twoSetups}`,
    ).riders;
    expect(rider).toMatchObject({ setups: ["A", "B"], plannedRuns: 8 });
  });

  test("a set-up may say what it must gain, costs and weighs", () => {
    const { setups } = read(
      `[session]\nname = "x"\n${twoSetups}\nworth_s = 1.5\nprice = 120\nweight_kg = 14.2`,
    );
    expect(setups[1]).toMatchObject({ worthS: 1.5, price: 120, weightKg: 14.2 });
  });

  test("a day may be about one set-up, any but the baseline", () => {
    const main = (line: string) => read(`[session]\nname = "x"\n${line}\n${twoSetups}`).settings;
    expect(main("").mainSetup).toBeNull();
    expect(main('main = "B"').mainSetup).toBe("B");
    expect(() => main('main = "C"')).toThrow(/main = "C".*the id of a set-up: B/);
    expect(() => main('main = "A"')).toThrow(
      /main = "A", the baseline.*compared with the baseline/,
    );
    const sheet = read(`[session]\nname = "x"\nmain = "B"\n${twoSetups}`);
    expect(read(writeSheet(sheet)).settings.mainSetup).toBe("B");
  });

  test("days share the planned runs evenly", () => {
    const days = (lines: string) =>
      read(`[session]\nname = "x"\n${lines}\n${twoSetups}`).settings.days;
    expect(days("planned_runs = 20")).toBe(1);
    expect(days("planned_runs = 20\ndays = 2")).toBe(2);
    expect(() => days("planned_runs = 20\ndays = 3")).toThrow(/as many runs on each day/);
    expect(() => days("days = 2")).toThrow(/planned_runs = \.\.\. as well/);
  });

  test("matching limits follow the expected run unless they are given", () => {
    const limits = (lines: string) => {
      const { travelMinS, travelMaxS } = read(
        `[session]\nname = "x"\n${lines}\n${twoSetups}`,
      ).settings;
      return [travelMinS, travelMaxS];
    };
    expect(limits("expected_run_s = 130")).toEqual([65, 390]);
    expect(limits("expected_run_s = 130\ntravel_min_s = 100")).toEqual([100, 390]);
    expect(limits("travel_max_s = 60")).toEqual([10, 60]);
  });

  test("the baseline is the one that says so, else the first", () => {
    const ids = (text: string) =>
      read(text)
        .setups.filter((s) => s.baseline)
        .map((s) => s.id);
    expect(ids(shortest)).toEqual(["A"]);
    expect(ids(`${shortest}baseline = true\n`)).toEqual(["B"]);
  });

  test("copies go through chains, whichever way they are declared; own values win", () => {
    const sheet = read(`[session]
name = "x"
[[setups]]
id = "C"
from = "B"
[setups.values]
note = "third"
[[setups]]
id = "B"
from = "A"
[setups.values]
rear_pressure_bar = 1.8
[[setups]]
id = "A"
values = { rear_pressure_bar = 1.6, rear_insert = "none", note = true, clicks_felt = 3 }
`);
    expect(sheet.setups.map((s) => s.values)).toEqual([
      { rear_pressure_bar: 1.8, rear_insert: "none", note: "third", clicks_felt: 3 },
      { rear_pressure_bar: 1.8, rear_insert: "none", note: true, clicks_felt: 3 },
      { rear_pressure_bar: 1.6, rear_insert: "none", note: true, clicks_felt: 3 },
    ]);
  });

  test("an angle may be below 0, and -0 is 0", () => {
    const sheet = read(
      `${shortest}values = { saddle_tilt_deg = -2.5, bar_rise_mm = -0.0, x = -0.0 }`,
    );
    expect(sheet.setups[1]?.values).toEqual({ saddle_tilt_deg: -2.5, bar_rise_mm: 0, x: 0 });
  });

  test("start and finish may be one box", () => {
    const sheet = read(
      `${shortest}[[gates]]\nrole = "start"\nbox = "L1"\n[[gates]]\nrole = "finish"\nbox = "L1"\n`,
    );
    expect(sheet.gates.map((g) => g.box)).toEqual(["L1", "L1"]);
  });

  test("a date may stand in quotes; a byte order mark and CRLF do no harm", () => {
    const text = `\ufeff${shortest}`.replace("\n[[", '\ndate = "2024-02-29"\n[[');
    expect(read(text.replaceAll("\n", "\r\n")).settings.date).toBe("2024-02-29");
  });

  test("markup, formulas and writing from right to left are kept as written in names", () => {
    for (const name of ["=1+1", "<b>x</b>", "@home", "\u05d0\u05d1", "e\u0301 \ud83d\udeb5"]) {
      expect(read(`[session]\nname = ${JSON.stringify(name)}\n${twoSetups}`).settings.name).toBe(
        name,
      );
    }
  });

  test("the sheet of a stopwatch day is read", () => {
    const sheet = read(sample("hand-times.toml"));
    expect(sheet.gates.map((g) => [g.role, g.box])).toEqual([
      ["start", null],
      ["finish", null],
    ]);
    expect(sheet.settings.plannedRuns).toBe(10);
  });
});

describe("the day around the runs, and what riders share", () => {
  const day = `[session]
name = "x"
arrive = "08:30"
gates_minutes = 40
pack_minutes = 20
light_until = "19:30"
most_runs_half_day = 9
rest_minutes = 6
mechanics = 1
aspects = ["grip", "comfort"]
spread_s = 1.2
spread_df = 14
[[breaks]]
after_run = 6
minutes = 45
name = "lunch"
[[bikes]]
id = "bike-1"
size = "L"
riders = ["R1"]
axle = "148 x 12"
[[parts]]
id = "wheels-1"
setups = ["B"]
axle = "148 x 12"
${twoSetups}
[[swaps]]
from = "A"
to = "B"
minutes = 12
place = "car"
`;

  test("is read as it stands", () => {
    const sheet = read(day);
    expect(sheet.hours).toEqual({
      arriveAt: "08:30",
      gatesMinutes: 40,
      packMinutes: 20,
      lightUntil: "19:30",
      breaks: [{ afterRun: 6, at: null, minutes: 45, name: "lunch" }],
      mostRunsHalfDay: 9,
      restMinutes: 6,
    });
    const standards = { axle: "148 x 12", rotor: null, freehub: null };
    expect(sheet.gear).toEqual({
      bikes: [{ id: "bike-1", name: "bike-1", size: "L", riders: ["R1"], standards }],
      parts: [
        { id: "wheels-1", name: "wheels-1", kind: "wheelset", setups: ["B"], standards, tag: null },
      ],
      mechanics: 1,
    });
    expect(sheet.swaps).toEqual([{ from: "A", to: "B", minutes: 12, place: "car" }]);
    expect(sheet.settings).toMatchObject({ aspects: ["grip", "comfort"], spreadDf: 14 });
  });

  test.each([
    ['arrive = "8:30"', /arrive = "8:30".*as "08:30"/],
    ['light_until = "07:00"', /light_until = "07:00" before arrive.*after the arrival/],
    ['minutes = 45\nat = "12:30"', /both after_run and at.*either after_run/],
    ['riders = ["R9"]', /"R9" in riders.*the id of a rider: R1/],
    ['setups = ["C"]', /"C" in setups.*the id of a set-up: A or B/],
    ['aspects = ["grip", "grip"]', /"grip" in aspects a second time.*each once/],
    ["aspects = []", /aspects = a list.*one to four names/],
    ["spread_df = 0", /spread_df = 0.*above 0/],
    ["mechanics = 0", /mechanics = 0.*from 1/],
  ])("%s is refused with what would do", (line, message) => {
    const [key] = line.split(" = ");
    const old = day.split("\n").find((each) => each.startsWith(`${key ?? ""} = `)) ?? "";
    expect(() => read(day.replace(old, line))).toThrow(message);
  });

  test("a break at a time of day needs the time of arrival", () => {
    const text = `[session]\nname = "x"\n[[breaks]]\nat = "12:00"\nminutes = 30\n${twoSetups}`;
    expect(() => read(text)).toThrow(/at = "12:00" without arrive/);
  });
});

describe("settings to explore", () => {
  const explore = (lines: string, values = "rear_pressure_bar = 1.6") =>
    `[session]\nname = "x"\nplanned_runs = 14\n[[settings]]\n${lines}\n[[setups]]\nid = "A"\nvalues = { ${values} }\n`;
  const pressure = 'key = "rear_pressure_bar"\nlow = 1.3\nhigh = 1.9\nstep = 0.05';

  test("need one set-up, as it is at present, and have a closing check", () => {
    const sheet = read(explore(pressure));
    expect(sheet.explored).toEqual({
      settings: [{ key: "rear_pressure_bar", low: 1.3, high: 1.9, step: 0.05 }],
      checkRuns: 8,
    });
    expect(read(shortest).explored).toBeNull();
    expect(readSheet(writeSheet(sheet), "again.toml", defaults)).toEqual(sheet);
  });

  test.each([
    ["step = 0.05", "step = 0.4", /step = 0.4 between 1.3 and 1.9.*fits in twice/],
    ["high = 1.9", "high = 1.2", /high = 1.2 with low = 1.3.*high above low/],
    ["high = 1.9", "high = 1.92", /between two steps.*as high = 1.9/],
    ["low = 1.3", "low = 1.65", /at present, outside 1.65 to 1.9/],
    ["step = 0.05", "step = 0.0001", /more than 400 values/],
    ["step = 0.05", "step = 0", /step = 0, .*above 0/],
    ['"rear_pressure_bar"', '"front_pressure_bar"', /which A has no value for/],
  ])("%s changed to %s is refused", (from, to, message) => {
    expect(() => read(explore(pressure.replace(from, to)))).toThrow(message);
  });

  test("clicks are whole numbers", () => {
    const clicks = 'key = "shock_rebound_clicks"\nlow = 2\nhigh = 12\nstep = 0.5';
    expect(() => read(explore(clicks, "shock_rebound_clicks = 7"))).toThrow(
      /step = 0.5.*whole number of clicks/,
    );
  });

  test("not with a second set-up, a second rider or days", () => {
    expect(() => read(`${explore(pressure)}[[setups]]\nid = "B"\n`)).toThrow(
      /2 \[\[setups\]\] with/,
    );
    const riders = '[[riders]]\nid = "R1"\n[[riders]]\nid = "R2"\n';
    expect(() => read(`${explore(pressure)}${riders}`)).toThrow(/with 2 riders.*one rider/);
    expect(() => read(explore(pressure).replace("planned_runs", "days = 2\nplanned_runs"))).toThrow(
      /days with \[\[settings\]\]/,
    );
  });
});

describe("lines of other receivers", () => {
  const gates = '[[gates]]\nrole = "start"\nbox = "S1"\n[[gates]]\nrole = "finish"\nbox = "F1"\n';
  const sheet = (lines: string) =>
    `[session]\nname = "x"\n${gates}[[lines]]\n${lines}\n${twoSetups}`;
  const full = `name = "loop reader"
pattern = '^(?<gate>[12]);(?<tag>[0-9A-Z]+);(?<time>\\d+)$'
unit = "ms"
boxes = { "1" = "S1", "2" = "F1" }
latency_s = 0.05
baud = 19200`;

  test("are read with their defaults, and written again", () => {
    const read1 = read(sheet(full));
    expect(read1.lines).toEqual([
      {
        name: "loop reader",
        pattern: "^(?<gate>[12]);(?<tag>[0-9A-Z]+);(?<time>\\d+)$",
        unit: "ms",
        clock: "device",
        boxes: { "1": "S1", "2": "F1" },
        latencyS: 0.05,
        resolutionS: 0.001,
        baud: 19200,
      },
    ]);
    expect(readSheet(writeSheet(read1), "again.toml", defaults)).toEqual(read1);
    const [plain] = read(sheet("pattern = '^GO$'\nbox = \"S1\"")).lines;
    expect(plain).toMatchObject({ clock: "arrival", boxes: { "": "S1" }, baud: 9600 });
  });

  test.each([
    ["pattern = '^(?<time>\\d+$'\nbox = \"S1\"", /pattern = .*a regular expression/],
    ["pattern = '^(?<when>\\d+)$'\nbox = \"S1\"", /the group when.*time, gate or tag alone/],
    ["pattern = '^(?<time>\\d+)$'\nbox = \"X9\"", /box = "X9".*the box of a gate: S1 or F1/],
    ["pattern = '^(?<time>\\d+)$'", /without box.*box = "S1"/],
    ["pattern = '^(?<gate>.)$'\nbox = \"S1\"", /a group gate without boxes/],
    ['pattern = \'^GO$\'\nbox = "S1"\nclock = "device"', /without a group \(\?<time>/],
    ['box = "S1"', /without pattern/],
  ])("%s is refused", (lines, message) => {
    expect(() => read(sheet(lines))).toThrow(message);
  });
});
