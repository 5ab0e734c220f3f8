// Lines of receivers that speak a protocol of their own, as a session sheet describes them; used by the
// sheet reader.
import type { ForeignClock, ForeignLine, ForeignUnit } from "../domain/foreign-line.ts";
import type { Gate } from "../domain/session.ts";
import { orList, quoted } from "./quote.ts";
import {
  checkKeys,
  choiceOf,
  noteFault,
  noteMissing,
  numberOf,
  type SheetTable,
  shown,
  tableOf,
  textOf,
} from "./sheet-table.ts";

const LONGEST_PATTERN = 500;
const UNITS: readonly ForeignUnit[] = ["s", "ms", "us", "h:m:s"];
const CLOCKS: readonly ForeignClock[] = ["device", "arrival"];
const GROUPS = ["time", "gate", "tag"];
/** chosen: a slow serial line of forty characters takes 42 ms at 9600 baud. */
const LATENCY_S = 0.1;
const RESOLUTION_S = 0.001;
const BAUD = 9600;

/** Reads [[lines]]: a pattern with named groups, the unit and clock of its time, the boxes it stands for. */
export function readLines(
  tables: readonly SheetTable[],
  gates: readonly Gate[],
): readonly ForeignLine[] {
  const boxes = gates.flatMap(({ box }) => box ?? []);
  return tables.map((table) => {
    checkKeys(table, [
      "name",
      "pattern",
      "unit",
      "clock",
      "box",
      "boxes",
      "latency_s",
      "resolution_s",
      "baud",
    ]);
    const groups = readPattern(table);
    const clock =
      choiceOf(table, "clock", CLOCKS) ??
      (groups?.includes("time") === true ? "device" : "arrival");
    if (clock === "device" && groups?.includes("time") === false) {
      noteFault(
        table,
        "clock",
        'clock = "device" without a group (?<time>...) in the pattern',
        'a group (?<time>...), or clock = "arrival"',
      );
    }
    return {
      name: textOf(table, "name") ?? "line",
      pattern: textOf(table, "pattern") ?? "",
      unit: choiceOf(table, "unit", UNITS) ?? "s",
      clock,
      boxes: readBoxes(table, groups, boxes),
      latencyS: numberOf(table, "latency_s", { above: 0, max: 60, unit: "seconds" }) ?? LATENCY_S,
      resolutionS:
        numberOf(table, "resolution_s", { above: 0, max: 60, unit: "seconds" }) ?? RESOLUTION_S,
      baud: numberOf(table, "baud", { min: 110, max: 4_000_000, isWhole: true }) ?? BAUD,
    };
  });
}

/** Names of the groups that the pattern has; null if it cannot be used. */
function readPattern(table: SheetTable): readonly string[] | null {
  noteMissing(
    table,
    "pattern",
    "pattern = '...' with the groups (?<time>...), (?<gate>...), (?<tag>...)",
  );
  const text = table.values.get("pattern");
  if (text === undefined) return null;
  if (typeof text !== "string" || text === "" || text.length > LONGEST_PATTERN) {
    const want = `a regular expression of at most ${String(LONGEST_PATTERN)} characters in quotes`;
    noteFault(table, "pattern", `pattern = ${shown(text)}`, want);
    return null;
  }
  try {
    new RegExp(text, "u");
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error;
    noteFault(
      table,
      "pattern",
      `pattern = ${quoted(text)}`,
      `a regular expression (${error.message})`,
    );
    return null;
  }
  const named = [...text.matchAll(/\(\?<([A-Za-z][A-Za-z0-9]*)>/g)].flatMap(
    (found) => found[1] ?? [],
  );
  const unknown = named.find((name) => !GROUPS.includes(name));
  if (unknown !== undefined) {
    noteFault(table, "pattern", `the group ${unknown}`, `the groups ${orList(GROUPS)} alone`);
  }
  return named.filter((name) => GROUPS.includes(name));
}

/** One box for every line, or by what the group `gate` says. */
function readBoxes(
  table: SheetTable,
  groups: readonly string[] | null,
  known: readonly string[],
): Readonly<Record<string, string>> {
  const want = `the box of a gate: ${orList(known.slice(0, 12))}`;
  const check = (key: string, value: unknown): string | null => {
    if (typeof value === "string" && known.includes(value)) return value;
    noteFault(
      table,
      key,
      `${key} = ${shown(value)}`,
      known.length === 0 ? "[[gates]] with boxes" : want,
    );
    return null;
  };
  const several = tableOf(table, "boxes", "boxes = { gate = box }");
  if (groups !== null && groups.includes("gate") === (several === null)) {
    const said = groups.includes("gate")
      ? "a group gate without boxes"
      : "boxes without a group gate";
    noteFault(
      table,
      several === null ? null : "boxes",
      said,
      'boxes = { "1" = "S1", "2" = "F1" } with a group (?<gate>...), else box = "S1"',
    );
  }
  if (several === null) {
    noteMissing(table, "box", 'box = "S1" (the box of the gate that the lines are about)');
    const only = table.values.has("box") ? check("box", table.values.get("box")) : null;
    return only === null ? {} : { "": only };
  }
  return Object.fromEntries(
    [...several.values].flatMap(([said, value]) => {
      const box = check("boxes", value);
      return box === null ? [] : [[said, box] as const];
    }),
  );
}
