// Mistakes in what a sheet says of the day, of shared gear, of settings to explore and of other
// receivers: each is named with what would do.
import { describe, expect, it } from "vitest";
import { sharedDay } from "../../src/advisor/plan-shared.ts";
import { NO_GEAR } from "../../src/domain/gear.ts";
import { readSheet } from "../../src/sheet/session-sheet.ts";
import { sheetOf } from "../advisor/sessions.ts";

const defaults = { zone: "Europe/Vienna", date: "2026-01-31", seed: 1 };
const two = '[[setups]]\nid = "A"\n[[setups]]\nid = "B"\n';
const session = '[session]\nname = "x"\n';
const gates = '[[gates]]\nrole = "start"\nbox = "S1"\n[[gates]]\nrole = "finish"\nbox = "F1"\n';
const present = '[[setups]]\nid = "A"\n';
const values = `${present}[setups.values]\nrear_pressure_bar = 1.6\nrear_casing = "thin"\n`;
const pressure = '[[settings]]\nkey = "rear_pressure_bar"\nlow = 1.3\nhigh = 1.9\nstep = 0.05\n';

function fault(text: string): string {
  try {
    readSheet(text, "day.toml", defaults);
  } catch (error) {
    return error instanceof Error ? error.message : "";
  }
  return "no mistake";
}

describe("a mistake in the day", () => {
  it.each([
    [
      `${session}arrive = "08:00"\n[[breaks]]\nat = "07:30"\nminutes = 10\n${two}`,
      /before arrive.*after the arrival/,
    ],
    [`${session}[[breaks]]\nafter_run = 3\n${two}`, /\[\[breaks\]\] without minutes/],
    [`${session}[[breaks]]\nminutes = 10\n${two}`, /without after_run or at/],
    [`${session}[[breaks]]\nafter_run = 0\nminutes = 10\n${two}`, /after_run = 0.*from 1 to 1000/],
    [`${session}light_until = "25:00"\n${two}`, /light_until = "25:00".*a time of day/],
    [
      `${session}${two}[[riders]]\nid = "R1"\n[[riders]]\nid = "R2"\n[[bikes]]\nid = "b"\nriders = ["R1"]\n`,
      /no bike for R2/,
    ],
    [`${session}${two}[[bikes]]\nid = "b"\nriders = []\n`, /riders = a list.*a list of ids/],
    [`${session}${two}[[parts]]\nid = "w"\n`, /\[\[parts\]\] without setups/],
    [
      `${session}${two}[[parts]]\nid = "w"\nsetups = ["A"]\ntag = "a b"\n`,
      /tag = "a b".*capital letters/,
    ],
  ])("%s", (text, message) => {
    expect(fault(text)).toMatch(message);
  });
});

describe("a mistake in what is explored", () => {
  it.each([
    [`${session}check_runs = 9\n${two}`, /check_runs without \[\[settings\]\]/],
    [`${session}check_runs = 3\n${pressure}${values}`, /check_runs = 3.*from 8 to 1000/],
    [`${session}${pressure}${pressure}${pressure}${values}`, /3 \[\[settings\]\].*one or two/],
    [`${session}${pressure}${pressure}${values}`, /a second time.*another key/],
    [`${session}[[settings]]\nlow = 1\nhigh = 2\nstep = 1\n${values}`, /without key/],
    [
      `${session}[[settings]]\nkey = "rear_casing"\nlow = 1\nhigh = 3\nstep = 1\n${values}`,
      /which is no number/,
    ],
    [
      `${session}[[settings]]\nkey = "rear_pressur_bar"\nlow = 1\nhigh = 3\nstep = 1\n${values}`,
      /did you mean rear_pressure_bar/,
    ],
    [`${session}${pressure}${present}`, /which A has no value for.*under \[setups.values\] of A/],
    [
      `${session}[[settings]]\nkey = "rear_pressure_bar"\nlow = 1.32\nhigh = 1.92\nstep = 0.05\n${values}`,
      /at present, between two steps/,
    ],
    [`${session}main = "A"\n${pressure}${values}`, /main with \[\[settings\]\]/],
    [`${session}${pressure}`, /no \[\[setups\]\]/],
  ])("%s", (text, message) => {
    expect(fault(text)).toMatch(message);
  });
});

describe("a mistake in the lines of a receiver", () => {
  const lines = (more: string) => `${session}${gates}${two}[[lines]]\n${more}`;
  it.each([
    [lines('pattern = ""\nbox = "S1"'), /pattern = "".*a regular expression/],
    [lines('pattern = 7\nbox = "S1"'), /pattern = 7.*in quotes/],
    [
      lines('pattern = \'^(?<time>.)$\'\nbox = "S1"\nunit = "min"'),
      /unit = "min".*"s", "ms", "us" or "h:m:s"/,
    ],
    [lines("pattern = '^(?<gate>.)$'\nboxes = { \"1\" = 3 }"), /boxes = 3.*the box of a gate/],
    [lines('pattern = \'^x$\'\nboxes = { "1" = "S1" }'), /boxes without a group gate/],
    [`${session}${two}[[lines]]\npattern = '^x$'\nbox = "S1"`, /\[\[gates\]\] with boxes/],
  ])("%s", (text, message) => {
    expect(fault(text)).toMatch(message);
  });
});

describe("a day with shared gear", () => {
  const wheels = { id: "w", name: "w", kind: "wheelset", setups: ["B"], tag: null };
  const none = { axle: null, rotor: null, freehub: null };
  const parts = [{ ...wheels, standards: none }];

  it("of several days is as long as the longest, of parts alone in one turn", () => {
    const settings = { plannedRuns: 8, lapMinutes: 10, expectedRunS: 300 };
    const one = sharedDay(sheetOf({ settings, gear: { parts } }));
    const both = sharedDay(
      sheetOf({ settings: { ...settings, plannedRuns: 16, days: 2 }, gear: { parts } }),
    );
    expect(both?.minutes).toBe(one?.minutes);
    expect(one?.startsPerHour).toBeGreaterThan(0);
  });

  it("is not told without a lap time, runs or gear", () => {
    expect(sharedDay(sheetOf({ settings: { plannedRuns: 8 }, gear: { parts } }))).toBeNull();
    expect(sharedDay(sheetOf({ settings: { lapMinutes: 10 }, gear: NO_GEAR }))).toBeNull();
  });
});
