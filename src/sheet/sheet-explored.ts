// The settings that a session explores, with the user's own limits; used by the sheet reader.
import type { Explored, ExploredSetting } from "../domain/explored.ts";
import type { Setup } from "../domain/session.ts";
import { isNumberValue, unitOfValue } from "../domain/setup-values.ts";
import { didYouMean } from "./nearest.ts";
import { quoted } from "./quote.ts";
import {
  checkKeys,
  noteFault,
  noteMissing,
  numberOf,
  type SheetTable,
  textOf,
} from "./sheet-table.ts";

const MOST_SETTINGS = 2;
const MOST_STEPS = 400;
/** Counted runs of the closing check. chosen: the fewest that a plan of two set-ups can promise on. */
const CHECK_RUNS = 8;
/** Of a step: how far a figure may be off a step by rounding. */
const OFF_STEP = 1e-6;

/**
 * Reads [[settings]]; none: declared set-ups are compared.
 *
 * @param setups - of the same sheet; the only one holds the present values
 */
export function readExplored(
  session: SheetTable,
  root: SheetTable,
  tables: readonly SheetTable[],
  setups: readonly Setup[],
  riders: number,
): Explored | null {
  const checkRuns = numberOf(session, "check_runs", {
    min: CHECK_RUNS,
    max: 1000,
    isWhole: true,
    unit: "counted runs of the closing check",
  });
  if (!root.values.has("settings")) {
    if (session.values.has("check_runs")) {
      noteFault(
        session,
        "check_runs",
        "check_runs without [[settings]]",
        "[[settings]] to explore",
      );
    }
    return null;
  }
  if (tables.length > MOST_SETTINGS) {
    noteFault(root, "settings", `${String(tables.length)} [[settings]]`, "one or two at a time");
  }
  if (riders > 1) {
    noteFault(
      root,
      "settings",
      `[[settings]] with ${String(riders)} riders`,
      "one rider: what is best for one need not be for another",
    );
  }
  for (const key of ["main", "days"]) {
    if (!session.values.has(key)) continue;
    noteFault(session, key, `${key} with [[settings]]`, `no ${key}: values are tried on one day`);
  }
  const seen = new Set<string>();
  const settings = tables.map((table) => readSetting(table, seen, setups[0]));
  return settings.length === 0 ? null : { settings, checkRuns: checkRuns ?? CHECK_RUNS };
}

function readSetting(
  table: SheetTable,
  seen: Set<string>,
  present: Setup | undefined,
): ExploredSetting {
  checkKeys(table, ["key", "low", "high", "step"]);
  for (const key of ["key", "low", "high", "step"]) noteMissing(table, key, `${key} = ...`);
  const key = textOf(table, "key") ?? "";
  const isClicks = unitOfValue(key) === "clicks";
  const rule = { min: -1e6, max: 1e6, isWhole: isClicks, unit: isClicks ? "clicks" : "its unit" };
  const low = numberOf(table, "low", rule) ?? 0;
  const high = numberOf(table, "high", rule) ?? 0;
  const step = numberOf(table, "step", { ...rule, min: 0, above: 0 }) ?? 1;
  const setting = { key, low, high, step };
  if (key === "") return setting;
  if (seen.has(key)) noteFault(table, "key", `key = ${quoted(key)} a second time`, "another key");
  seen.add(key);
  if (["low", "high", "step"].every((each) => typeof table.values.get(each) === "number")) {
    noteRange(table, setting);
  }
  if (present !== undefined) notePresent(table, setting, present);
  return setting;
}

function noteRange(table: SheetTable, { low, high, step }: ExploredSetting): void {
  const steps = (high - low) / step;
  if (!(high > low)) {
    noteFault(
      table,
      "high",
      `high = ${String(high)} with low = ${String(low)}`,
      "high above low: both are your own limits",
    );
  } else if (steps < 2 - OFF_STEP) {
    noteFault(
      table,
      "step",
      `step = ${String(step)} between ${String(low)} and ${String(high)}`,
      "a step that fits in twice at least, so that there is a middle to try",
    );
  } else if (steps > MOST_STEPS) {
    noteFault(
      table,
      "step",
      `step = ${String(step)}: more than ${String(MOST_STEPS)} values`,
      "a larger step: nobody feels or times so fine a one",
    );
  } else if (!isWhole(steps)) {
    const nearest = low + Math.floor(steps) * step;
    noteFault(
      table,
      "high",
      `high = ${String(high)}, between two steps of ${String(step)} from ${String(low)}`,
      `a whole number of steps, as high = ${String(Number(nearest.toPrecision(12)))}`,
    );
  }
}

/** The present value is what the best one is compared with, so it has to be one of the steps. */
function notePresent(
  table: SheetTable,
  { key, low, high, step }: ExploredSetting,
  present: Setup,
): void {
  const value = present.values[key];
  const own = `${key} = ... under [setups.values] of ${present.id}`;
  if (value === undefined) {
    const keys = Object.keys(present.values).filter(
      (each) => typeof present.values[each] === "number",
    );
    noteFault(
      table,
      "key",
      `key = ${quoted(key)}, which ${present.id} has no value for`,
      keys.length === 0 ? own : didYouMean(key, keys, own),
    );
  } else if (typeof value !== "number" || !(isNumberValue(key) || Number.isFinite(value))) {
    noteFault(table, "key", `key = ${quoted(key)}, which is no number`, "a key with a number");
  } else if (high > low && step > 0 && !(value >= low && value <= high)) {
    noteFault(
      table,
      null,
      `${key} = ${String(value)} at present, outside ${String(low)} to ${String(high)}`,
      "limits that the present value lies in",
    );
  } else if (high > low && step > 0 && !isWhole((value - low) / step)) {
    noteFault(
      table,
      null,
      `${key} = ${String(value)} at present, between two steps of ${String(step)} from ${String(low)}`,
      "a low or a step that reaches the present value",
    );
  }
}

function isWhole(steps: number): boolean {
  return Math.abs(steps - Math.round(steps)) < OFF_STEP;
}
