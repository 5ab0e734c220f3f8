// Two lists of times of day, one kept at the start and one at the finish, to runs; used by `import`.
import { UserError } from "../domain/errors.ts";
import type { ImportedRow, ImportedStatus } from "../domain/imported-row.ts";
import { sessionUs } from "../domain/time.ts";
import { type Fault, faultsError } from "./faults.ts";
import { localMidnight } from "./local-time.ts";
import { orList } from "./quote.ts";
import type { TimesOf } from "./times-csv.ts";
import {
  PRESS_S,
  type TwoFaults,
  type WatchDifference,
  watchDifference,
} from "./watch-difference.ts";
import { readWatchList, type WatchList, type WatchRead, type WatchRow } from "./watch-list.ts";

/** A list and the name of its file, for messages. */
export interface WatchFile {
  readonly text: string;
  readonly file: string;
}

export interface WatchDay extends TimesOf {
  /** Of the day's beginning, `2026-05-09`. */
  readonly date: string;
  /** IANA name; the start watch is taken to show its time. */
  readonly zone: string;
  /** The starts were called over a radio. */
  readonly isByRadio: boolean;
}

/** The runs in order of their starts, and sentences on what they rest on. */
export interface WatchTimes {
  readonly rows: readonly ImportedRow[];
  readonly about: readonly string[];
}

/** What a start called over a radio adds, s; from memory: no figure of a real radio is known. */
const RADIO_S = 0.2;
const DAY_US = 86_400e6;
const HINT = "mend the lists and import them again; nothing was imported";

/**
 * Pairs starts and finishes. The watches' difference is a straight line between the syncs, constant
 * with one. A rider's finish belongs to the rider's start before it; a finish that names no rider to
 * the start that is open longest. A start marked `dnf` has no finish, one marked `void` may have none.
 *
 * Uncertainty of a run time: a press at each end, the sync (a press on each watch, so that each of
 * two syncs weighs as it lies on the line) and the radio, in quadrature.
 *
 * @returns rows without sector times
 * @throws {UserError} `bad-input`, naming every bad row by file and line
 * @see JCGM 100:2008, 5.1.2 (uncorrelated parts)
 */
export function readWatchTimes(start: WatchFile, finish: WatchFile, of: WatchDay): WatchTimes {
  const starts = readWatchList(start.text, of, ["ok", "warm-up", "void", "dnf"]);
  const finishes = readWatchList(finish.text, of, ["ok", "warm-up", "void"]);
  if (!starts.ok || !finishes.ok) throw faultsOf(start, finish, listFaults(starts, finishes));
  const started = starts.value;
  const finished = onSameDay(finishes.value, started);
  const faults: TwoFaults = { start: [], finish: [] };
  const difference = watchDifference(started, finished, faults);
  if (difference === null) throw faultsOf(start, finish, faults);
  const pairs = paired(started.rows, finished.rows, difference, { start, finish, of, faults });
  const midnight = localMidnight(of.date, of.zone);
  const rows = pairs.map((pair): ImportedRow => {
    const status = statusOf(pair, faults);
    const setup = setupOf(pair, faults);
    if (setup === null) {
      const want = `${orList(of.setups.slice(0, 12).map(({ id }) => id))}, in one of the lists`;
      faults.start.push({ line: pair.start.line, found: "no setup", want });
    }
    const isTimed = pair.finish !== null && pair.timeUs !== null;
    return {
      rider: pair.rider,
      setup: setup ?? "",
      status,
      timeS: pair.timeUs === null ? null : Math.round(pair.timeUs) / 1e6,
      uncertaintyS: isTimed ? uncertaintyS(difference, pair.finish.atUs, of.isByRadio) : null,
      sectorS: of.sectors.map(() => null),
      startedAtUs: sessionUs(midnight + pair.start.atUs),
      reason: notesOf(pair),
    };
  });
  if (faults.start.length + faults.finish.length > 0) throw faultsOf(start, finish, faults);
  return { rows, about: aboutOf(rows, finished, difference, of) };
}

function listFaults(starts: WatchRead, finishes: WatchRead): TwoFaults {
  return {
    start: starts.ok ? [] : [...starts.faults],
    finish: finishes.ok ? [] : [...finishes.faults],
  };
}

function faultsOf(start: WatchFile, finish: WatchFile, faults: TwoFaults): UserError {
  const told = [
    { file: start.file, faults: faults.start },
    { file: finish.file, faults: faults.finish },
  ].filter((each) => each.faults.length > 0);
  const texts = told.map((each) => faultsError(each.file, each.faults, HINT).message);
  return new UserError("bad-input", texts.join("\n"), HINT);
}

/** A finish list that begins across midnight from the start list is carried to its day. */
function onSameDay(finishes: WatchList, starts: WatchList): WatchList {
  const firstOf = ({ first, rows }: WatchList): number => (first ?? rows[0])?.atUs ?? 0;
  const days = Math.round((firstOf(starts) - firstOf(finishes)) / DAY_US);
  const moved = (row: WatchRow): WatchRow => ({ ...row, atUs: row.atUs + days * DAY_US });
  const { rows, first, last } = finishes;
  return { rows: rows.map(moved), first: first && moved(first), last: last && moved(last) };
}

interface Pair {
  readonly rider: string;
  readonly start: WatchRow;
  /** Null: did not finish, or was struck out before. */
  readonly finish: WatchRow | null;
  readonly timeUs: number | null;
}

interface Pairing {
  readonly start: WatchFile;
  readonly finish: WatchFile;
  readonly of: WatchDay;
  readonly faults: TwoFaults;
}

/** In order of start. */
function paired(
  starts: readonly WatchRow[],
  finishes: readonly WatchRow[],
  difference: WatchDifference,
  { start: startFile, finish: finishFile, of, faults }: Pairing,
): readonly Pair[] {
  const passings = [
    ...finishes.map((row) => ({ row, isStart: false, atUs: row.atUs - difference.atUs(row.atUs) })),
    ...starts.map((row) => ({ row, isStart: true, atUs: row.atUs })),
  ].toSorted((a, b) => a.atUs - b.atUs);
  const ended = new Map<WatchRow, Pair>();
  // Each rider's start that has no finish yet, the longest open first.
  const open = new Map<string, WatchRow>();
  const leave = (rider: string, before: string): void => {
    const start = open.get(rider);
    if (start === undefined) return;
    open.delete(rider);
    ended.set(start, { rider, start, finish: null, timeUs: null });
    if (start.status === "void") return;
    const found = `start of ${rider} at ${start.shown} without a finish${before}`;
    const want = `its finish in ${finishFile.file}, or the status dnf`;
    faults.start.push({ line: start.line, found, want });
  };
  for (const { row, isStart, atUs } of passings) {
    if (isStart) {
      const rider = riderOf(row, of, faults);
      if (rider === null) continue;
      leave(rider, ` before the start in line ${String(row.line)}`);
      if (row.status === "dnf") ended.set(row, { rider, start: row, finish: null, timeUs: null });
      else open.set(rider, row);
      continue;
    }
    const rider = row.rider ?? [...open.keys()][0];
    const start = rider === undefined ? undefined : open.get(rider);
    if (rider === undefined || start === undefined) {
      const found = `a finish at ${row.shown} with ${row.rider ?? "nobody"} ${row.rider === null ? "on course" : "not on course"}`;
      const want = `its start in ${startFile.file}, before it, or the row taken out`;
      faults.finish.push({ line: row.line, found, want });
      continue;
    }
    open.delete(rider);
    ended.set(start, { rider, start, finish: row, timeUs: atUs - start.atUs });
  }
  for (const rider of [...open.keys()]) leave(rider, "");
  return starts.flatMap((row) => ended.get(row) ?? []);
}

function riderOf(row: WatchRow, { riders }: WatchDay, faults: TwoFaults): string | null {
  const [only] = riders;
  if (row.rider !== null) return row.rider;
  if (only !== undefined && riders.length === 1) return only.id;
  const want = orList(riders.slice(0, 12).map(({ id }) => id));
  faults.start.push({ line: row.line, found: "no rider", want });
  return null;
}

/** What either list says; both may say the same. */
function setupOf({ start, finish }: Pair, faults: TwoFaults): string | null {
  const other = finish?.setup ?? null;
  if (start.setup === null || other === null || start.setup === other) return start.setup ?? other;
  faults.finish.push(clash("set-up", start.setup, other, { start, finish }));
  return other;
}

/** `ok` of one list gives way to what the other says. */
function statusOf({ start, finish }: Pair, faults: TwoFaults): ImportedStatus {
  const [one, other] = [start.status ?? "ok", finish?.status ?? "ok"];
  if (one === "ok" || other === "ok" || one === other) return one === "ok" ? other : one;
  faults.finish.push(clash("status", one, other, { start, finish }));
  return other;
}

function clash(
  what: string,
  one: string,
  other: string,
  { start, finish }: Pick<Pair, "start" | "finish">,
): Fault {
  const found = `${what} ${other}, and ${one} at the start in line ${String(start.line)}`;
  return { line: finish?.line ?? 1, found, want: "the same in both lists" };
}

function notesOf({ start, finish }: Pair): string | null {
  const notes = [start.note, finish?.note].flatMap((note) => note ?? []);
  return notes.length === 0 ? null : notes.join("; ");
}

function uncertaintyS(difference: WatchDifference, finishUs: number, isByRadio: boolean): number {
  const radioS = isByRadio ? RADIO_S : 0;
  const parts = [PRESS_S, PRESS_S, radioS, difference.uncertaintyS(finishUs)];
  return Math.round(Math.hypot(...parts) * 1000) / 1000;
}

function aboutOf(
  rows: readonly ImportedRow[],
  finishes: WatchList,
  difference: WatchDifference,
  of: WatchDay,
): readonly string[] {
  const known = rows.flatMap((row) => row.uncertaintyS ?? []);
  const unnamed = finishes.rows.filter(({ rider }) => rider === null).length;
  const [low, high] = [Math.min(...known), Math.max(...known)].map((s) => s.toFixed(2));
  const range = low === high ? String(low) : `${String(low)} to ${String(high)}`;
  const radio = of.isByRadio ? ", the radio 0.2 s" : "";
  return [
    difference.words,
    ...(known.length === 0
      ? []
      : [
          `each run time is uncertain by ${range} s: a press 0.2 s at each end${radio}, and the sync`,
        ]),
    ...(unnamed > 0 && of.riders.length > 1
      ? [`finishes that name no rider: ${String(unnamed)}, paired first in, first out`]
      : []),
  ];
}
