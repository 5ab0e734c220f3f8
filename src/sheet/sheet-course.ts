// The gates, riders and swaps of a session sheet; used by the sheet reader.
import type { Gate, Rider, Setup, SwapCost } from "../domain/session.ts";
import { didYouMean } from "./nearest.ts";
import { orList, quoted } from "./quote.ts";
import {
  checkKeys,
  choiceOf,
  noteFault,
  noteMissing,
  numberOf,
  patternOf,
  type SheetTable,
  shown,
  textOf,
} from "./sheet-table.ts";

const idPattern = /^[A-Za-z0-9_-]{1,16}$/;
const idWanted = "1 to 16 letters, digits, - or _ in quotes";
const mostGates = 99;

/** Gates of a stretch that is timed by hand. */
const handGates: readonly Gate[] = [
  { role: "start", box: null, sector: null, terrain: null },
  { role: "finish", box: null, sector: null, terrain: null },
];

/**
 * Reads [[gates]]: the start first, the finish last, splits between; none at all is a stretch timed
 * by hand.
 */
export function readGates(root: SheetTable, tables: readonly SheetTable[]): readonly Gate[] {
  if (!root.values.has("gates")) return handGates;
  if (tables.length > mostGates) {
    noteFault(root, "gates", `${String(tables.length)} gates`, `at most ${String(mostGates)}`);
  }
  if (tables.length === 1) {
    const only = tables[0] ?? root;
    noteFault(
      only,
      null,
      "one gate only",
      "a start and a finish (one box may serve both), or no gates at all",
    );
  }
  const boxes = new Map<string, number>();
  return tables.map((table, i) => {
    checkKeys(table, ["role", "box", "sector", "terrain"]);
    const isLast = i === tables.length - 1;
    const place = i === 0 ? "start" : isLast ? "finish" : "split";
    const role = choiceOf(table, "role", ["start", "split", "finish"]);
    noteMissing(table, "role", `role = "${place}"`);
    if (role !== null && role !== place && tables.length > 1) {
      const which = i === 0 ? "first" : isLast ? "last" : "middle";
      noteFault(
        table,
        "role",
        `role = "${role}" on the ${which} gate`,
        `"${place}" there: gates stand in riding order`,
      );
    }
    const box = patternOf(
      table,
      "box",
      /^[0-9A-Z]{1,4}$/,
      "1 to 4 digits or capital letters in quotes",
    );
    if (box !== null) {
      const other = boxes.get(box);
      const isLoop = other === 0 && isLast;
      if (other !== undefined && !isLoop) {
        noteFault(
          table,
          "box",
          `box = ${quoted(box)} at a second gate`,
          "a box for each gate; only start and finish may share one",
        );
      }
      boxes.set(box, i);
    }
    if (i === 0) {
      for (const key of ["sector", "terrain"]) {
        if (table.values.has(key)) {
          noteFault(
            table,
            key,
            `${key} on the first gate`,
            `it on the gate at which the sector ends`,
          );
        }
      }
    }
    return {
      role: role ?? place,
      box,
      sector: textOf(table, "sector"),
      terrain: textOf(table, "terrain"),
    };
  });
}

/** Reads [[riders]]; none at all is one rider. */
export function readRiders(
  root: SheetTable,
  tables: readonly SheetTable[],
  setupIds: readonly string[],
): readonly Rider[] {
  if (!root.values.has("riders"))
    return [{ id: "R1", name: "Rider", tag: null, newTo: [], setups: null, plannedRuns: null }];
  const written = root.values.get("riders");
  if (Array.isArray(written) && written.length === 0) {
    noteFault(root, "riders", "an empty list of riders", "one rider at least, or the key left out");
  }
  const ids = new Set<string>();
  const tags = new Set<string>();
  return tables.map((table) => {
    checkKeys(table, ["id", "name", "tag", "new_to", "setups", "planned_runs"]);
    const id = readId(table, ids, "R1");
    const tag = patternOf(
      table,
      "tag",
      /^[0-9A-Z]{1,8}$/,
      "1 to 8 digits or capital letters in quotes, as the transponder says",
    );
    if (tag !== null && tags.has(tag)) {
      noteFault(table, "tag", `tag = ${quoted(tag)} a second time`, "a transponder for each rider");
    }
    if (tag !== null) tags.add(tag);
    const plannedRuns = numberOf(table, "planned_runs", {
      min: 1,
      max: 1000,
      isWhole: true,
      unit: "counted runs",
    });
    return {
      id,
      name: textOf(table, "name") ?? id,
      tag,
      newTo: readSetupIds(table, "new_to", setupIds) ?? [],
      setups: readSetupIds(table, "setups", setupIds),
      plannedRuns,
    };
  });
}

/** A list of ids of set-ups, each once, in the order of the sheet; null if there is no such key. */
function readSetupIds(
  table: SheetTable,
  key: string,
  setupIds: readonly string[],
): readonly string[] | null {
  const value = table.values.get(key);
  if (value === undefined) return null;
  if (!Array.isArray(value)) {
    noteFault(table, key, `${key} = ${shown(value)}`, 'a list of ids of set-ups, as ["B"]');
    return null;
  }
  const wanted = new Set<string>();
  for (const id of value as readonly unknown[]) {
    if (typeof id === "string" && setupIds.includes(id)) wanted.add(id);
    else noteFault(table, key, `${shown(id)} in ${key}`, setupWanted(id, setupIds));
  }
  return setupIds.filter((id) => wanted.has(id));
}

/** Reads [[swaps]]. */
export function readSwaps(
  tables: readonly SheetTable[],
  setups: readonly Pick<Setup, "id">[],
): readonly SwapCost[] {
  const ids = setups.map((s) => s.id);
  const pairs = new Set<string>();
  return tables.map((table) => {
    checkKeys(table, ["from", "to", "minutes", "place"]);
    const end = (key: string): string => {
      const value = table.values.get(key);
      noteMissing(table, key, `${key} = "..." (the id of a set-up)`);
      if (typeof value === "string" && ids.includes(value)) return value;
      if (value !== undefined) {
        noteFault(table, key, `${key} = ${shown(value)}`, setupWanted(value, ids));
      }
      return "";
    };
    const from = end("from");
    const to = end("to");
    if (from !== "" && from === to) {
      noteFault(table, "to", `a swap from ${from} to ${to}`, "two different set-ups");
    }
    if (from !== "" && to !== "" && pairs.has(`${from} ${to}`)) {
      noteFault(
        table,
        null,
        `a second swap from ${from} to ${to}`,
        "one [[swaps]] for each direction",
      );
    }
    pairs.add(`${from} ${to}`);
    const minutes = numberOf(table, "minutes", { min: 0, max: 14_400, unit: "minutes" });
    noteMissing(table, "minutes", "minutes = ... (what the change takes)");
    return { from, to, minutes: minutes ?? 0, place: textOf(table, "place") };
  });
}

/** Reads an id and refuses one that is taken; `""` if there is none of use. */
export function readId(table: SheetTable, taken: Set<string>, example: string): string {
  const id = patternOf(table, "id", idPattern, idWanted);
  noteMissing(table, "id", `id = "${example}" (${idWanted})`);
  if (id === null) return "";
  if (taken.has(id)) noteFault(table, "id", `id = ${quoted(id)} a second time`, "an id of its own");
  taken.add(id);
  return id;
}

/** What to say where the id of a set-up was wanted. */
export function setupWanted(value: unknown, ids: readonly string[]): string {
  if (ids.length === 0) return "the id of a set-up of this sheet";
  const list = `the id of a set-up: ${orList(ids.slice(0, 12))}`;
  // Ids of one or two letters are all alike; the list says more.
  return typeof value === "string" && value.length > 2 ? didYouMean(value, ids, list) : list;
}
