// RFC 3339 text to session time; used by the reader of times.
import { type SessionUs, sessionUs } from "../domain/time.ts";

const dateTime =
  /^(\d{4})-(\d{2})-(\d{2})[Tt](\d{2}):(\d{2}):(\d{2})(\.\d+)?(?:([Zz])|([+-])(\d{2}):(\d{2}))$/;

/**
 * Reads a `date-time` of RFC 3339: full date, `T`, seconds, and `Z` or an offset; a blank in place
 * of `T` is not taken. A leap second (23:59:60 UTC) is folded into the second that follows, as
 * POSIX time does; second 60 at any other time is refused.
 *
 * @returns microseconds since 1970 UTC, rounded half up; null if the text is anything else
 * @see RFC 3339, sections 5.6 and 5.7
 */
export function parseRfc3339(text: string): SessionUs | null {
  const m = dateTime.exec(text);
  if (m === null) return null;
  const part = (i: number): number => Number(m[i] ?? 0);
  const [year, month, day] = [part(1), part(2), part(3)] as const;
  const [hour, minute, second] = [part(4), part(5), part(6)] as const;
  const date = new Date(0);
  date.setUTCFullYear(year, month - 1, day);
  if (date.getUTCMonth() !== month - 1 || date.getUTCDate() !== day) return null;
  if (hour > 23 || minute > 59 || second > 60 || part(10) > 23 || part(11) > 59) return null;
  const offsetMinutes = (m[9] === "-" ? -1 : 1) * (part(10) * 60 + part(11));
  const minuteStart = date.getTime() / 1000 + hour * 3600 + (minute - offsetMinutes) * 60;
  if (second === 60 && modulo(minuteStart, 86_400) !== 86_340) return null;
  return sessionUs((minuteStart + second) * 1_000_000 + microseconds(m[7] ?? "."));
}

/** `.5` to 500000; digits beyond the sixth round half up. */
function microseconds(fraction: string): number {
  const digits = fraction.slice(1).padEnd(7, "0");
  return Number(digits.slice(0, 6)) + (Number(digits[6]) >= 5 ? 1 : 0);
}

function modulo(a: number, b: number): number {
  return ((a % b) + b) % b;
}
