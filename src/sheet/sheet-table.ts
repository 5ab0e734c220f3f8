// One table of a session sheet, read key by key with its mistakes noted; used by the parts of the
// sheet reader. Every reading function gives null both for a missing key and for a bad value.
import { TomlDate } from "smol-toml";
import type { Fault } from "./faults.ts";
import { didYouMean } from "./nearest.ts";
import { orList, quoted, unprintable, visible } from "./quote.ts";
import { lineOfPath, type TomlPath, type TomlPlaces } from "./toml-places.ts";

export interface SheetTable {
  readonly places: TomlPlaces;
  /** Grows as the sheet is read. */
  readonly faults: Fault[];
  readonly path: TomlPath;
  /** As the file writes it: `[session]`, `[[gates]]`. */
  readonly name: string;
  readonly values: ReadonlyMap<string, unknown>;
}

/** Longest name, in characters; chosen: several times what a screen shows, far below the journal's. */
const longestText = 200;

/** Notes a mistake at a key of the table, or at the table itself. */
export function noteFault(
  table: SheetTable,
  key: string | number | null,
  found: string,
  want: string,
): void {
  const path = key === null ? table.path : [...table.path, key];
  table.faults.push({ line: lineOfPath(table.places, path), found, want });
}

/** Refuses keys that the table does not have; `elsewhere` may tell where a key belongs. */
export function checkKeys(
  table: SheetTable,
  known: readonly string[],
  elsewhere: (key: string) => string | null = () => null,
): void {
  for (const key of table.values.keys()) {
    if (known.includes(key)) continue;
    const where = table.path.length === 0 ? "" : ` in ${table.name}`;
    noteFault(
      table,
      key,
      `unknown key ${keyText(key)}${where}`,
      elsewhere(key) ?? didYouMean(key, known, `one of ${known.join(", ")}`),
    );
  }
}

/** Text that fits on a screen; refuses controls, and nothing or blanks alone. */
export function textOf(table: SheetTable, key: string): string | null {
  const value = table.values.get(key);
  if (value === undefined) return null;
  const want = textFault(value);
  if (want === null && typeof value === "string") return value;
  noteFault(table, key, `${key} = ${shown(value)}`, want ?? "");
  return null;
}

/** What would do instead of a value that cannot be a text to show; null if it can. */
export function textFault(value: unknown): string | null {
  if (typeof value !== "string") return "text in quotes";
  if (value.trim() === "") return "text that is not empty, or the key left out";
  if (unprintable.test(value)) return "text without control characters (tab, new line, escape)";
  return Array.from(value).length > longestText
    ? `at most ${String(longestText)} characters`
    : null;
}

/** Text of a given form; `want` says the form in words. */
export function patternOf(
  table: SheetTable,
  key: string,
  pattern: RegExp,
  want: string,
): string | null {
  const value = table.values.get(key);
  if (value === undefined) return null;
  if (typeof value === "string" && pattern.test(value)) return value;
  noteFault(table, key, `${key} = ${shown(value)}`, want);
  return null;
}

export interface NumberRule {
  readonly above?: number;
  readonly min?: number;
  readonly max?: number;
  readonly isWhole?: boolean;
  /** In words: "seconds", "minutes". */
  readonly unit?: string;
}

/** A finite number within the rule. */
export function numberOf(table: SheetTable, key: string, rule: NumberRule): number | null {
  const value = table.values.get(key);
  if (value === undefined) return null;
  const isGood =
    typeof value === "number" &&
    Number.isFinite(value) &&
    (rule.isWhole !== true || Number.isSafeInteger(value)) &&
    (rule.above === undefined || value > rule.above) &&
    (rule.min === undefined || value >= rule.min) &&
    (rule.max === undefined || value <= rule.max);
  if (isGood) return value + 0; // makes -0 a plain 0
  noteFault(table, key, `${key} = ${shown(value)}`, numberWanted(rule));
  return null;
}

/** One of a few words. */
export function choiceOf<T extends string>(
  table: SheetTable,
  key: string,
  choices: readonly T[],
): T | null {
  const value = table.values.get(key);
  if (value === undefined) return null;
  const found = choices.find((c) => c === value);
  if (found !== undefined) return found;
  noteFault(table, key, `${key} = ${shown(value)}`, orList(choices.map((c) => `"${c}"`)));
  return null;
}

export function booleanOf(table: SheetTable, key: string): boolean | null {
  const value = table.values.get(key);
  if (value === undefined || typeof value === "boolean") return value ?? null;
  noteFault(table, key, `${key} = ${shown(value)}`, "true or false");
  return null;
}

/** The table under a key, e.g. `[session]`; null if it is not there. */
export function tableOf(table: SheetTable, key: string, name: string): SheetTable | null {
  const value = table.values.get(key);
  if (value === undefined) return null;
  if (isTable(value)) return inner(table, [...table.path, key], name, value);
  noteFault(table, key, `${key} = ${shown(value)}`, `a table ${name}`);
  return null;
}

/** The tables under `[[key]]`, in the file's order. */
export function tablesOf(table: SheetTable, key: string): readonly SheetTable[] {
  const value = table.values.get(key);
  if (value === undefined) return [];
  const name = `[[${key}]]`;
  if (!Array.isArray(value)) {
    noteFault(table, key, `${key} = ${shown(value)}`, `tables headed ${name}, one for each`);
    return [];
  }
  return value.flatMap((element: unknown, i) => {
    if (isTable(element)) return [inner(table, [...table.path, key, i], name, element)];
    noteFault(table, key, `${shown(element)} in ${key}`, `tables headed ${name}, one for each`);
    return [];
  });
}

/** Notes that a key is missing. */
export function noteMissing(table: SheetTable, key: string, example: string): void {
  if (!table.values.has(key)) noteFault(table, null, `${table.name} without ${key}`, example);
}

/** A value as a message shows it. */
export function shown(value: unknown): string {
  if (typeof value === "string") return quoted(value);
  if (typeof value === "number" || typeof value === "boolean") return String(value);
  if (value instanceof TomlDate) return "a date or time";
  return Array.isArray(value) ? "a list" : "a table";
}

/** A key as the file would write it. */
export function keyText(key: string): string {
  return /^[A-Za-z0-9_-]{1,40}$/.test(key) ? key : quoted(key);
}

/** The whole document as a table. */
export function rootTable(values: object, places: TomlPlaces, faults: Fault[]): SheetTable {
  return { places, faults, path: [], name: "the sheet", values: entries(values) };
}

function inner(outer: SheetTable, path: TomlPath, name: string, values: object): SheetTable {
  return { places: outer.places, faults: outer.faults, path, name, values: entries(values) };
}

function entries(values: object): ReadonlyMap<string, unknown> {
  return new Map<string, unknown>(Object.entries(values));
}

function isTable(value: unknown): value is object {
  return (
    typeof value === "object" &&
    value !== null &&
    !Array.isArray(value) &&
    !(value instanceof TomlDate)
  );
}

function numberWanted(rule: NumberRule): string {
  const kind = rule.isWhole === true ? "a whole number" : "a number";
  const unit = rule.unit === undefined ? "" : ` of ${rule.unit}`;
  const low =
    rule.above !== undefined
      ? ` above ${String(rule.above)}`
      : rule.min !== undefined && rule.max === undefined
        ? `, ${String(rule.min)} or more`
        : "";
  const high =
    rule.max === undefined
      ? ""
      : rule.min === undefined
        ? ` and at most ${String(rule.max)}`
        : ` from ${String(rule.min)} to ${String(rule.max)}`;
  return visible(`${kind}${unit}${low}${high}`);
}
