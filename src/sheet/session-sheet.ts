// A session sheet, TOML text to data; used by `new`, `plan`, `import --sheet` and the console.
import { parse, TomlError } from "smol-toml";
import type { UserError } from "../domain/errors.ts";
import type { Sheet } from "../domain/session.ts";
import { encodingFault, type Fault, faultsError } from "./faults.ts";
import { quoted } from "./quote.ts";
import { readGates, readRiders, readSwaps } from "./sheet-course.ts";
import { readGear, readHours } from "./sheet-day.ts";
import { readExplored } from "./sheet-explored.ts";
import { readLines } from "./sheet-lines.ts";
import { readSettings, type SheetDefaults, sessionKeys } from "./sheet-settings.ts";
import { readSetups } from "./sheet-setups.ts";
import { checkKeys, noteFault, rootTable, tableOf, tablesOf } from "./sheet-table.ts";
import { tomlPlaces } from "./toml-places.ts";

const ROOT_KEYS = [
  "session",
  "gates",
  "riders",
  "setups",
  "swaps",
  "breaks",
  "bikes",
  "parts",
  "settings",
  "lines",
] as const;

/**
 * Reads a session sheet.
 *
 * @param text - the file's text, with or without a byte order mark
 * @param file - its name, for messages
 * @param defaults - zone, date and seed where the sheet names none
 * @returns everything the sheet says, defaults filled in and copies (`from`) resolved
 * @throws {UserError} `bad-input`, naming every mistake by file and line, what was found and what
 *   would do (ten at most are named, the rest counted); nothing else is ever thrown
 * @see TOML 1.0.0, https://toml.io/en/v1.0.0
 */
export function readSheet(text: string, file: string, defaults: SheetDefaults): Sheet {
  const unreadable = encodingFault(text);
  if (unreadable !== null) throw sheetError(file, [unreadable]);
  const root = rootTable(parsed(text, file), tomlPlaces(text), []);
  checkKeys(root, ROOT_KEYS, (key) =>
    sessionKeys.some((known) => known === key) ? "it under [session]" : null,
  );
  const session = tableOf(root, "session", "[session]");
  if (session === null && !root.values.has("session")) {
    noteFault(root, null, "no [session]", "a table [session] with name, date, stretch");
  }
  const own = session ?? rootTable({ name: "" }, root.places, []);
  const gates = readGates(root, tablesOf(root, "gates"));
  const setups = readSetups(root, tablesOf(root, "setups"));
  const setupIds = setups.map((s) => s.id);
  const riders = readRiders(root, tablesOf(root, "riders"), setupIds);
  const riderIds = riders.map((rider) => rider.id);
  const sheet: Sheet = {
    settings: readSettings(own, defaults, setups),
    gates,
    riders,
    setups,
    swaps: readSwaps(tablesOf(root, "swaps"), setups),
    hours: readHours(own, tablesOf(root, "breaks")),
    gear: readGear(own, tablesOf(root, "bikes"), tablesOf(root, "parts"), riderIds, setupIds),
    lines: readLines(tablesOf(root, "lines"), gates),
    explored: readExplored(own, root, tablesOf(root, "settings"), setups, riders.length),
  };
  if (root.faults.length > 0) throw sheetError(file, root.faults);
  return sheet;
}

function parsed(text: string, file: string): object {
  try {
    return parse(text);
  } catch (error) {
    if (!(error instanceof TomlError)) throw error;
    const why = error.message.split("\n")[0]?.replace(/^Invalid TOML document: /, "") ?? "";
    const fault = {
      line: error.line,
      found: tomlFound(why, text, error),
      want: tomlWanted(text, error),
    };
    throw sheetError(file, [fault]);
  }
}

/** The line at which the parser stopped, and its reason. */
function tomlFound(why: string, text: string, error: TomlError): string {
  const line = text.split(/\r?\n/)[error.line - 1]?.trim() ?? "";
  return `${line === "" ? "an unfinished end of the file" : quoted(line)} (${why})`;
}

/** What would do, for the slips that are made most often. */
function tomlWanted(text: string, error: TomlError): string {
  const line = text.split(/\r?\n/)[error.line - 1] ?? "";
  if (error.message.includes("redefine")) return "each key and each [table] once";
  if (/=\s*-?\d+,\d+\s*(#.*)?$/.test(line)) return "a decimal point, as 1.5";
  if (/^\s*"?[\w-]+"?\s*:/.test(line)) return "key = value";
  if (/=\s*(yes|no|on|off|True|False)\b/i.test(line)) return "true or false";
  if (/=\s*[A-Za-z]/.test(line)) return "text in double quotes";
  return "TOML: [table] or key = value, text in double quotes";
}

function sheetError(file: string, faults: readonly Fault[]): UserError {
  return faultsError(file, faults, "mend the sheet and run the command again; nothing was written");
}
