// Why sessions can't be one: looked for before anything is written. Used by the merge.
import { UserError } from "../domain/errors.ts";
import { baselineOf, type Setup, sectorNames } from "../domain/session.ts";
import type { Entry } from "../journal/entry.ts";
import type { Session } from "../session/session.ts";
import { refuse } from "./find.ts";

/** One day to be merged: the session of one file. */
export interface DaySession {
  /** Name of the file, for messages. */
  readonly file: string;
  readonly entries: readonly Entry[];
  readonly session: Session;
}

/**
 * Refuses what can't be merged, naming the files and what would do.
 *
 * @param days - in the order of their first runs
 * @throws {UserError} `wrong-usage` for fewer than two, `not-a-session` for one that was never made,
 *   else `refused`
 */
export function requireMergeable(days: readonly DaySession[]): void {
  if (days.length < 2) {
    const hint = "name two session files or more after the one to make";
    throw new UserError("wrong-usage", "there is nothing to merge with", hint);
  }
  for (const day of days) requireWholeDay(day);
  for (const [i, later] of days.entries()) {
    for (const earlier of days.slice(0, i)) requireAlike(earlier, later);
  }
}

function requireWholeDay({ file, entries, session }: DaySession): void {
  if (session.settings === null) {
    const hint = "make one with `swaplap new SHEET.toml FILE`";
    throw new UserError("not-a-session", `${file} holds no session yet`, hint);
  }
  if (entries.some((entry) => entry.type === "session-merged")) {
    refuse(`${file} is a merged session already`, "merge the files of the single days instead");
  }
  if (session.explored !== null) {
    refuse(
      `${file} explores ${session.explored.settings.map(({ key }) => key).join(" and ")}`,
      "leave it out: values are tried and checked on one day; merge sessions of declared set-ups",
    );
  }
  if (session.runs.length === 0) refuse(`${file} holds no runs`, "leave it out");
  const out = session.runs.find((run) => run.status === "on-course");
  if (out !== undefined) {
    const name = session.riders.find((rider) => rider.id === out.rider)?.name ?? out.rider;
    refuse(
      `${name} is still on course in ${file}`,
      "open it in the console and say how that run ended (finish or DNF), then merge",
    );
  }
}

function requireAlike(a: DaySession, b: DaySession): void {
  if (isSameSession(a, b)) refuse(`${a.file} and ${b.file} are the same session`, "name it once");
  requireOneStretch(a, b);
  requireOneMeaning(a, b);
}

/** Made at one instant by one program: a copy, however much was added to either. */
function isSameSession(a: DaySession, b: DaySession): boolean {
  return JSON.stringify(a.entries[0]) === JSON.stringify(b.entries[0]);
}

function requireOneStretch(a: DaySession, b: DaySession): void {
  const hint = "merge only days on one stretch with the same gates";
  const [one, other] = [stretchOf(a), stretchOf(b)];
  if (one.name !== other.name) {
    refuse(`${a.file} is of "${one.name}", ${b.file} of "${other.name}"`, hint);
  }
  if (one.gates !== other.gates) {
    refuse(`the gates are ${one.gates} in ${a.file}, ${other.gates} in ${b.file}`, hint);
  }
  for (const [i, name] of one.sectors.entries()) {
    const there = other.sectors[i];
    if (name === there || there === undefined) continue;
    refuse(`sector ${String(i + 1)} is "${name}" in ${a.file}, "${there}" in ${b.file}`, hint);
  }
}

function stretchOf({ session: { settings, gates } }: DaySession) {
  return {
    name: settings?.stretch ?? "",
    gates: gates.map((gate) => gate.role).join(", "),
    sectors: sectorNames(gates),
  };
}

function requireOneMeaning(a: DaySession, b: DaySession): void {
  for (const setup of a.session.setups) {
    const other = b.session.setups.find((s) => s.id === setup.id);
    if (other === undefined) continue;
    const difference = differenceOf(setup, other);
    if (difference === null) continue;
    refuse(
      `set-up ${setup.id} has ${difference.what}: ${difference.a} in ${a.file}, ${difference.b} in ${b.file}`,
      "one id must mean one set-up: correct its sheet in the console of one of them, if it was the same",
    );
  }
  const [baselineA, baselineB] = [baselineOf(a.session.setups).id, baselineOf(b.session.setups).id];
  if (baselineA !== baselineB) {
    refuse(
      `the baseline is ${baselineA} in ${a.file}, ${baselineB} in ${b.file}`,
      "merge only days with one baseline",
    );
  }
  for (const rider of a.session.riders) {
    const other = b.session.riders.find((r) => r.id === rider.id);
    if (other === undefined || other.name === rider.name) continue;
    refuse(
      `${rider.id} is "${rider.name}" in ${a.file}, "${other.name}" in ${b.file}`,
      "one id must mean one person: make one of the sessions again from a sheet with another id",
    );
  }
}

/** The first line of two sheets that is not the same; names tell two empty ones apart. */
function differenceOf(
  a: Setup,
  b: Setup,
): { readonly what: string; readonly a: string; readonly b: string } | null {
  const keys = new Set([...Object.keys(a.values), ...Object.keys(b.values)]);
  if (keys.size === 0 && a.name !== b.name) {
    return { what: "another name and nothing on its sheet", a: `"${a.name}"`, b: `"${b.name}"` };
  }
  const told = (value: Setup["values"][string] | undefined): string =>
    value === undefined ? "not told" : String(value);
  for (const key of keys) {
    if (a.values[key] === b.values[key]) continue;
    return { what: `another ${key}`, a: told(a.values[key]), b: told(b.values[key]) };
  }
  return null;
}
