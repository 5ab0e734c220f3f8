// The time in a line of a receiver that does not speak our protocol, as microseconds; called by the
// reader of such lines.
import type { ForeignUnit } from "../domain/foreign-line.ts";

/** Above this a count of microseconds is no longer exact in a number. */
const LONGEST_US = Number.MAX_SAFE_INTEGER;
const UNIT_US = { s: 1e6, ms: 1e3, us: 1 } as const;
const COUNT = /^\d{1,17}(?:[.,]\d{1,12})?$/;
const CLOCK = /^(?:(?:(\d{1,6}):)?(\d{1,8}):)?(\d{1,10}(?:[.,]\d{1,12})?)$/;

function decimal(text: string): number {
  return Number(text.replace(",", "."));
}

/**
 * Reads a time as the sheet says it is written; a comma may stand for the decimal point.
 *
 * @param text - what the group `time` matched
 * @returns whole microseconds since whatever beginning; null if it is no such time
 */
export function foreignTimeUs(text: string, unit: ForeignUnit): number | null {
  const trimmed = text.trim();
  const us = unit === "h:m:s" ? clockUs(trimmed) : countUs(trimmed, UNIT_US[unit]);
  return us !== null && us <= LONGEST_US ? us : null;
}

function countUs(text: string, unitUs: number): number | null {
  return COUNT.test(text) ? Math.round(decimal(text) * unitUs) : null;
}

/** Only what stands first may be 60 or more. */
function clockUs(text: string): number | null {
  const found = CLOCK.exec(text);
  if (found === null) return null;
  const [, hours, minutes, seconds] = found;
  const h = Number(hours ?? 0);
  const m = Number(minutes ?? 0);
  const s = decimal(seconds ?? "");
  if ((hours !== undefined && m >= 60) || (minutes !== undefined && s >= 60)) return null;
  return Math.round((h * 3600 + m * 60 + s) * 1e6);
}
