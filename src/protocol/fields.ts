// One field of a line at a time: shapes shared by the parsers of both directions.
import type { Result } from "../domain/errors.ts";
import { crc16, hex4 } from "./crc.ts";
import type { FaultReason } from "./fault.ts";
import type { BoxRole, EventKind } from "./message.ts";

/** The one version that this program reads and writes. */
export const VERSION = "1";
/** ',' between fields, '*' and four digits at the end. */
const CHECK_LENGTH = 5;

/** A line whose check and version are right, cut at its commas. */
export interface CheckedLine {
  readonly letter: string;
  readonly fields: readonly string[];
}

/**
 * Checks length, CRC and version of a raw line and cuts it into its fields.
 *
 * @param raw - from ':' up to, not including, the line feed
 */
export function checkLine(raw: string): Result<CheckedLine, FaultReason> {
  const star = raw.length - CHECK_LENGTH;
  if (!raw.startsWith(":") || star < 3 || raw[star] !== "*")
    return { ok: false, error: "no-check" };
  const payload = raw.slice(1, star);
  const check = raw.slice(star + 1);
  if (!/^[0-9A-F]{4}$/.test(check)) return { ok: false, error: "no-check" };
  if (hex4(crc16(payload)) !== check) return { ok: false, error: "bad-crc" };
  if (payload[0] !== VERSION) return { ok: false, error: "unknown-version" };
  const [head, ...fields] = payload.split(",");
  const letter = head?.slice(1) ?? "";
  return { ok: true, value: { letter, fields } };
}

const BOX_ID = /^[0-9A-Z]{1,4}$/;

/** 1 to 4 of [0-9A-Z]. */
export function isBoxId(text: string | undefined): text is string {
  return text !== undefined && BOX_ID.test(text);
}

/** The box that a line names, whatever its version and type; null if it names none. */
export function namedBox(raw: string): string | null {
  const second = raw.split(",", 2)[1]?.replace(/\*.*$/, "");
  return isBoxId(second) ? second : null;
}

/**
 * A decimal count.
 *
 * @param digits - most digits that the field may have; 15 stays exact in a number
 * @returns NaN, which no check below lets through, if the text is no such count
 */
export function count(text: string | undefined, digits: number): number {
  if (text === undefined || text.length === 0 || text.length > digits) return Number.NaN;
  let value = 0;
  for (let i = 0; i < text.length; i += 1) {
    const digit = text.charCodeAt(i) - 48;
    if (digit < 0 || digit > 9) return Number.NaN;
    value = value * 10 + digit;
  }
  return value;
}

/** Boot number: four upper-case hexadecimal digits; NaN if it is not. */
export function boot(text: string | undefined): number {
  return text !== undefined && /^[0-9A-F]{4}$/.test(text) ? Number.parseInt(text, 16) : Number.NaN;
}

/** True for S, F and P1 to P9. */
export function isRole(text: string | undefined): text is BoxRole {
  return text !== undefined && /^(?:S|F|P[1-9])$/.test(text);
}

/** True for the six kinds of event. */
export function isKind(text: string | undefined): text is EventKind {
  return text !== undefined && /^[BCTMXO]$/.test(text);
}

/** True if every count of a line could be read. */
export function allRead(...counts: readonly number[]): boolean {
  return !counts.some(Number.isNaN);
}
