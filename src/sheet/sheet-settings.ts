// The [session] table of a session sheet; used by the sheet reader.
import { TomlDate } from "smol-toml";
import type { Settings, Setup } from "../domain/session.ts";
import { didYouMean } from "./nearest.ts";
import { quoted } from "./quote.ts";
import { setupWanted } from "./sheet-course.ts";
import { dayKeys } from "./sheet-day.ts";
import {
  checkKeys,
  choiceOf,
  type NumberRule,
  noteFault,
  numberOf,
  type SheetTable,
  shown,
  textOf,
} from "./sheet-table.ts";

/** What the caller knows and the sheet may leave out. */
export interface SheetDefaults {
  /** The laptop's zone, IANA name. */
  readonly zone: string;
  /** Today in that zone, `2026-05-09`. */
  readonly date: string;
  /** Drawn once by the caller; a whole number, 0 or more. */
  readonly seed: number;
}

export const sessionKeys = [
  "name",
  "date",
  "zone",
  "stretch",
  "expected_run_s",
  "length_m",
  "drop_m",
  "margin_s",
  "planned_runs",
  "days",
  "minutes",
  "lap_minutes",
  "spread_s",
  "drift",
  "bands",
  "spreads",
  "main",
  "confidence",
  "seed",
  "travel_min_s",
  "travel_max_s",
  "spread_df",
  "aspects",
  "start",
  "check_runs",
  ...dayKeys,
] as const;

const seconds: NumberRule = { above: 0, max: 86_400, unit: "seconds" };
const minutes: NumberRule = { above: 0, max: 14_400, unit: "minutes" };

/**
 * Reads the [session] table, noting mistakes in it.
 *
 * @param setups - of the same sheet
 * @returns the settings with defaults filled in; of use only if no mistake was noted
 */
export function readSettings(
  table: SheetTable,
  defaults: SheetDefaults,
  setups: readonly Pick<Setup, "id" | "baseline">[],
): Settings {
  checkKeys(table, sessionKeys);
  const name = textOf(table, "name");
  const stretch = textOf(table, "stretch");
  if (!table.values.has("name") && !table.values.has("stretch")) {
    noteFault(
      table,
      null,
      `${table.name} without name`,
      'name = "..." (what this session is called)',
    );
  }
  const expectedRunS = numberOf(table, "expected_run_s", seconds);
  const lengthM = numberOf(table, "length_m", { above: 0, max: 100_000, unit: "metres" });
  const dropM = numberOf(table, "drop_m", { min: -9000, max: 9000, unit: "metres" });
  if (lengthM !== null && dropM !== null && Math.abs(dropM) > lengthM) {
    noteFault(
      table,
      "drop_m",
      `drop_m = ${String(dropM)} on length_m = ${String(lengthM)}`,
      "a drop no larger than the length, both in metres",
    );
  }
  const plannedRuns = numberOf(table, "planned_runs", {
    min: 1,
    max: 1000,
    isWhole: true,
    unit: "counted runs",
  });
  return {
    name: name ?? stretch ?? "",
    date: readDate(table) ?? defaults.date,
    zone: readZone(table) ?? defaults.zone,
    stretch: stretch ?? name ?? "",
    expectedRunS,
    lengthM,
    dropM,
    marginS: numberOf(table, "margin_s", seconds),
    plannedRuns,
    days: readDays(table, plannedRuns),
    minutes: numberOf(table, "minutes", minutes),
    lapMinutes: numberOf(table, "lap_minutes", minutes),
    spreadS: numberOf(table, "spread_s", seconds),
    spreadDf: readSpreadDf(table),
    drift: choiceOf(table, "drift", ["none", "linear", "learning"]) ?? "linear",
    bands: readBands(table),
    spreads: choiceOf(table, "spreads", ["each", "common"]) ?? "each",
    mainSetup: readMain(table, setups),
    confidence: numberOf(table, "confidence", { min: 0.9, max: 0.999 }) ?? 0.95,
    seed: numberOf(table, "seed", { min: 0, isWhole: true }) ?? defaults.seed,
    ...readTravel(table, expectedRunS),
    aspects: readAspects(table),
    start: textOf(table, "start"),
  };
}

/** How well the spread is known: of no use without it. */
function readSpreadDf(table: SheetTable): number | null {
  const df = numberOf(table, "spread_df", { above: 0, max: 10_000, unit: "degrees of freedom" });
  if (df === null || table.values.has("spread_s")) return df;
  noteFault(table, "spread_df", "spread_df without spread_s", "spread_s = ... as well");
  return null;
}

/** One to four names of what the rider is asked about, each once. */
function readAspects(table: SheetTable): readonly string[] {
  const value = table.values.get("aspects");
  if (value === undefined) return [];
  const want = 'one to four names in a list, the main one first, as ["grip", "comfort"]';
  if (!Array.isArray(value) || value.length === 0 || value.length > 4) {
    noteFault(table, "aspects", `aspects = ${shown(value)}`, want);
    return [];
  }
  const aspects: string[] = [];
  for (const each of value as readonly unknown[]) {
    const isName = typeof each === "string" && /^[\p{L}\p{N}][\p{L}\p{N} -]{0,19}$/u.test(each);
    if (isName && !aspects.includes(each)) aspects.push(each);
    else {
      const again = isName ? " a second time" : "";
      const name = "a name of 1 to 20 letters, digits, blanks and -, each once";
      noteFault(table, "aspects", `${shown(each)} in aspects${again}`, name);
    }
  }
  return aspects;
}

/** The set-up that the day is about: any but the baseline. */
function readMain(
  table: SheetTable,
  setups: readonly Pick<Setup, "id" | "baseline">[],
): string | null {
  const main = textOf(table, "main");
  if (main === null) return null;
  const others = setups.filter((setup) => !setup.baseline).map((setup) => setup.id);
  if (others.includes(main)) return main;
  const isBaseline = setups.some((setup) => setup.id === main);
  const want = setupWanted(main, others);
  noteFault(
    table,
    "main",
    `main = ${quoted(main)}${isBaseline ? ", the baseline" : ""}`,
    isBaseline ? `${want}, which is compared with the baseline` : want,
  );
  return null;
}

/** Days declared ahead share the planned runs between them. */
function readDays(table: SheetTable, plannedRuns: number | null): number {
  const days = numberOf(table, "days", { min: 1, max: 30, isWhole: true, unit: "days" }) ?? 1;
  if (days > 1 && plannedRuns === null) {
    noteFault(
      table,
      "days",
      `days = ${String(days)} without planned_runs`,
      "planned_runs = ... as well (counted runs of one rider, all days together)",
    );
  } else if (plannedRuns !== null && plannedRuns % days !== 0) {
    noteFault(
      table,
      "days",
      `planned_runs = ${String(plannedRuns)} over days = ${String(days)}`,
      "as many runs on each day",
    );
  }
  return days;
}

/** Matching limits until three runs exist: half and three times the expected run, else 10 and 1800. */
function readTravel(
  table: SheetTable,
  expectedRunS: number | null,
): { travelMinS: number; travelMaxS: number } {
  const travelMinS =
    numberOf(table, "travel_min_s", seconds) ?? (expectedRunS === null ? 10 : expectedRunS / 2);
  const travelMaxS =
    numberOf(table, "travel_max_s", seconds) ?? (expectedRunS === null ? 1800 : expectedRunS * 3);
  if (travelMinS >= travelMaxS) {
    noteFault(
      table,
      table.values.has("travel_max_s") ? "travel_max_s" : "travel_min_s",
      `travel_min_s ${String(travelMinS)} and travel_max_s ${String(travelMaxS)}`,
      "travel_min_s below travel_max_s (left out: half and three times expected_run_s, else 10 and 1800)",
    );
  }
  return { travelMinS, travelMaxS };
}

function readBands(table: SheetTable): "plan" | "open" {
  const hasPlan = table.values.has("planned_runs");
  const bands = choiceOf(table, "bands", ["plan", "open"]) ?? (hasPlan ? "plan" : "open");
  if (bands === "plan" && !hasPlan) {
    noteFault(
      table,
      "bands",
      'bands = "plan" without planned_runs',
      'planned_runs = ... as well, or bands = "open"',
    );
  }
  return bands;
}

/** `2026-05-09`, as a TOML date or in quotes. The TOML parser takes 30 February for 2 March. */
function readDate(table: SheetTable): string | null {
  const value = table.values.get("date");
  if (value === undefined) return null;
  const place = table.places.get(JSON.stringify([...table.path, "date"]));
  const written = value instanceof TomlDate ? (place?.text ?? "") : value;
  if (typeof written === "string" && isCalendarDate(written)) return written;
  noteFault(
    table,
    "date",
    `date = ${typeof value === "string" ? quoted(value) : typeof written === "string" ? written.slice(0, 40) : shown(value)}`,
    "a date that exists, as 2026-05-09",
  );
  return null;
}

/** True for `yyyy-mm-dd` on the Gregorian calendar. */
function isCalendarDate(text: string): boolean {
  if (!/^\d{4}-\d{2}-\d{2}$/.test(text)) return false;
  const day = new Date(`${text}T00:00:00Z`);
  return !Number.isNaN(day.getTime()) && day.toISOString().startsWith(text);
}

function readZone(table: SheetTable): string | null {
  const zone = textOf(table, "zone");
  if (zone === null) return null;
  if (isZone(zone)) return zone;
  const want = 'an IANA name, as "Europe/Vienna"';
  const near = didYouMean(zone, Intl.supportedValuesOf("timeZone"), want);
  noteFault(table, "zone", `zone = ${quoted(zone)}`, near);
  return null;
}

/** Knows the names that this program's JavaScript engine knows; offsets are no zones. */
function isZone(zone: string): boolean {
  if (!/^[A-Za-z]/.test(zone)) return false;
  try {
    new Intl.DateTimeFormat("en", { timeZone: zone });
    return true;
  } catch (error) {
    if (error instanceof RangeError) return false;
    throw error;
  }
}
