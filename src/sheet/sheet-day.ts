// What a session sheet says of the day around the runs, and of bikes and parts that riders share; used
// by the sheet reader.
import type { Break, DayHours } from "../domain/day-hours.ts";
import type { Bike, Gear, Part, Standards } from "../domain/gear.ts";
import { orList, quoted } from "./quote.ts";
import { readId, setupWanted } from "./sheet-course.ts";
import {
  checkKeys,
  type NumberRule,
  noteFault,
  noteMissing,
  numberOf,
  patternOf,
  type SheetTable,
  shown,
  textOf,
} from "./sheet-table.ts";

/** Keys of [session] that are read here. */
export const dayKeys = [
  "arrive",
  "gates_minutes",
  "pack_minutes",
  "light_until",
  "most_runs_half_day",
  "rest_minutes",
  "mechanics",
] as const;

const minutes: NumberRule = { min: 0, max: 14_400, unit: "minutes" };
const timeOfDay = /^([01]\d|2[0-3]):[0-5]\d$/;
const timeWanted = 'a time of day in quotes, as "08:30"';
const standardKeys = ["axle", "rotor", "freehub"] as const;

/** Reads the hours of the day from [session] and the breaks from [[breaks]]. */
export function readHours(session: SheetTable, breaks: readonly SheetTable[]): DayHours {
  const arriveAt = patternOf(session, "arrive", timeOfDay, timeWanted);
  const lightUntil = patternOf(session, "light_until", timeOfDay, timeWanted);
  if (arriveAt !== null && lightUntil !== null && arriveAt >= lightUntil) {
    noteFault(
      session,
      "light_until",
      `light_until = ${quoted(lightUntil)} before arrive = ${quoted(arriveAt)}`,
      "the end of the daylight after the arrival, both on the same day",
    );
  }
  return {
    arriveAt,
    gatesMinutes: numberOf(session, "gates_minutes", minutes),
    packMinutes: numberOf(session, "pack_minutes", minutes),
    lightUntil,
    breaks: breaks.map((table) => readBreak(table, arriveAt)),
    mostRunsHalfDay: numberOf(session, "most_runs_half_day", {
      min: 1,
      max: 100,
      isWhole: true,
      unit: "runs of a rider in half a day",
    }),
    restMinutes: numberOf(session, "rest_minutes", minutes),
  };
}

function readBreak(table: SheetTable, arriveAt: string | null): Break {
  checkKeys(table, ["after_run", "at", "minutes", "name"]);
  const afterRun = numberOf(table, "after_run", {
    min: 1,
    max: 1000,
    isWhole: true,
    unit: "counted runs of a rider",
  });
  const at = patternOf(table, "at", timeOfDay, timeWanted);
  if (table.values.has("after_run") === table.values.has("at")) {
    noteFault(
      table,
      null,
      `${table.name} ${table.values.has("at") ? "with both after_run and at" : "without after_run or at"}`,
      'either after_run = ... (counted runs) or at = "12:30"',
    );
  }
  if (at !== null && arriveAt === null) {
    noteFault(
      table,
      "at",
      `at = ${quoted(at)} without arrive`,
      'arrive = "..." under [session] as well, or after_run = ... here',
    );
  } else if (at !== null && arriveAt !== null && at <= arriveAt) {
    noteFault(table, "at", `at = ${quoted(at)}, before arrive`, "a time after the arrival");
  }
  noteMissing(table, "minutes", "minutes = ... (how long the break is)");
  const length = numberOf(table, "minutes", { ...minutes, above: 0 });
  return { afterRun, at, minutes: length ?? 0, name: textOf(table, "name") };
}

/** Reads [[bikes]], [[parts]] and how many can swap at once. */
export function readGear(
  session: SheetTable,
  bikes: readonly SheetTable[],
  parts: readonly SheetTable[],
  riderIds: readonly string[],
  setupIds: readonly string[],
): Gear {
  const ids = new Set<string>();
  const wantedRider = `the id of a rider: ${orList(riderIds.slice(0, 12))}`;
  const gear: Gear = {
    bikes: bikes.map((table): Bike => {
      checkKeys(table, ["id", "name", "size", "riders", ...standardKeys]);
      const id = readId(table, ids, "bike-1");
      return {
        id,
        name: textOf(table, "name") ?? id,
        size: textOf(table, "size"),
        riders: readIds(table, "riders", riderIds, () => wantedRider),
        standards: readStandards(table),
      };
    }),
    parts: parts.map((table): Part => {
      checkKeys(table, ["id", "name", "kind", "setups", "tag", ...standardKeys]);
      const id = readId(table, ids, "wheels-1");
      noteMissing(table, "setups", 'setups = ["B"] (the set-ups that need it)');
      return {
        id,
        name: textOf(table, "name") ?? id,
        kind: textOf(table, "kind") ?? "wheelset",
        setups: readIds(table, "setups", setupIds, (value) => setupWanted(value, setupIds)) ?? [],
        standards: readStandards(table),
        tag: patternOf(
          table,
          "tag",
          /^[0-9A-Z]{1,8}$/,
          "1 to 8 digits or capital letters in quotes, as the transponder says",
        ),
      };
    }),
    mechanics: numberOf(session, "mechanics", {
      min: 1,
      max: 100,
      isWhole: true,
      unit: "mechanics",
    }),
  };
  noteBikeless(bikes, gear, riderIds);
  return gear;
}

/** Riders whom none of the bikes fits. */
function noteBikeless(
  tables: readonly SheetTable[],
  { bikes }: Gear,
  riderIds: readonly string[],
): void {
  const [first] = tables;
  if (first === undefined) return;
  const without = riderIds.filter(
    (rider) => !bikes.some((bike) => bike.riders === null || bike.riders.includes(rider)),
  );
  if (without.length === 0) return;
  noteFault(first, null, `no bike for ${without.join(", ")}`, "a [[bikes]] that fits every rider");
}

function readStandards(table: SheetTable): Standards {
  const [axle, rotor, freehub] = standardKeys.map((key) => textOf(table, key));
  return { axle: axle ?? null, rotor: rotor ?? null, freehub: freehub ?? null };
}

/** A list of known ids, each once; null if there is no such key. */
function readIds(
  table: SheetTable,
  key: string,
  known: readonly string[],
  want: (value: unknown) => string,
): readonly string[] | null {
  const value = table.values.get(key);
  if (value === undefined) return null;
  if (!Array.isArray(value) || value.length === 0) {
    noteFault(table, key, `${key} = ${shown(value)}`, `a list of ids, as ["${known[0] ?? "A"}"]`);
    return null;
  }
  for (const id of value as readonly unknown[]) {
    if (typeof id === "string" && known.includes(id)) continue;
    noteFault(table, key, `${shown(id)} in ${key}`, want(id));
  }
  return known.filter((id) => value.includes(id));
}
