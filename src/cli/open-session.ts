// Opens session files and reads sheets for the commands: the one place that joins store and app.

import { randomInt } from "node:crypto";
import { readFileSync } from "node:fs";
import { fixPlan } from "../advisor/fix-plan.ts";
import type { KnownSpread } from "../advisor/plan-day.ts";
import { sessionEntries } from "../app/make-session.ts";
import type { AppClock } from "../app/needs.ts";
import { type Author, SessionFile } from "../app/session-file.ts";
import { UserError } from "../domain/errors.ts";
import type { Sheet } from "../domain/session.ts";
import { readSheet } from "../sheet/session-sheet.ts";
import { SessionStore } from "../store/session-store.ts";
import { sessionSpread } from "../summary/plan-ahead.ts";
import { laptopClock } from "./laptop-time.ts";

/** Who is at the keyboard, as far as the laptop knows, and which process this is. */
export function author(writer: string): Author {
  const who = process.env["USER"] ?? process.env["LOGNAME"] ?? "operator";
  return { who, writer: `${writer}-${String(process.pid)}` };
}

export function openToRead(file: string): SessionFile {
  return opened(SessionStore.open(file, { readOnly: true }), laptopClock());
}

export function openToWrite(file: string, clock: AppClock = laptopClock()): SessionFile {
  return opened(SessionStore.open(file, { readOnly: false }), clock);
}

/** Closes the store again if the journal cannot be read. */
function opened(store: SessionStore, clock: AppClock): SessionFile {
  try {
    return new SessionFile(store, clock);
  } catch (error) {
    store.close();
    throw error;
  }
}

/**
 * Makes a session file from a sheet; refuses to overwrite, and a plan too short to promise anything.
 */
export function makeSession(
  sheet: Sheet,
  file: string,
  by: Author,
  clock: AppClock = laptopClock(),
): SessionFile {
  const plan = fixPlan(sheet);
  const session = opened(SessionStore.create(file), clock);
  session.append(by, () => sessionEntries(sheet, plan));
  return session;
}

/** Reads a session sheet; the seed is drawn if it is missing, the zone is the laptop's. */
export function sheetFrom(file: string): Sheet {
  return readSheet(readText(file), file, sheetDefaults());
}

export function sheetDefaults(): { zone: string; date: string; seed: number } {
  const zone = Intl.DateTimeFormat().resolvedOptions().timeZone;
  return { zone, date: new Date().toLocaleDateString("sv-SE"), seed: randomInt(1, 1_000_000) };
}

/**
 * A sheet from a `.toml`; or what a session file was made from, with the spread that its runs and
 * warm-up laps have shown so far, and the sheet's where it says how well that is known.
 */
export function sheetOf(file: string): {
  readonly sheet: Sheet;
  readonly measured: KnownSpread | null;
} {
  if (file.endsWith(".toml")) return { sheet: sheetFrom(file), measured: null };
  const session = openToRead(file);
  try {
    const summary = session.summary();
    const { settings, gates, riders, setups, swapCosts, hours, gear, explored, lines } = summary;
    const sheet = {
      settings,
      gates,
      riders,
      setups,
      swaps: swapCosts,
      hours,
      gear,
      explored,
      lines,
    };
    return { sheet, measured: sessionSpread(summary) };
  } finally {
    session.close();
  }
}

/** @throws {UserError} not-found, no-permission, or bad-input for a folder or bytes that are no text */
export function readText(file: string): string {
  let bytes: Buffer;
  try {
    bytes = readFileSync(file);
  } catch (cause) {
    if (!(cause instanceof Error && "code" in cause)) throw cause;
    if (cause.code === "EISDIR") {
      throw new UserError("bad-input", `${file} is a folder`, "name a file", { cause });
    }
    const code = cause.code === "EACCES" ? "no-permission" : "not-found";
    throw new UserError(code, `${file} cannot be read`, "check the name and its permissions", {
      cause,
    });
  }
  try {
    return new TextDecoder("utf-8", { fatal: true, ignoreBOM: true }).decode(bytes);
  } catch (cause) {
    if (!(cause instanceof TypeError)) throw cause;
    throw new UserError(
      "bad-input",
      `${file} is not UTF-8 text`,
      "save it as UTF-8 and try again",
      { cause },
    );
  }
}
