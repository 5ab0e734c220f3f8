// How the passings of boxes are called, and the day that such a name tells; used wherever a passing is
// named.
import type { BoxId } from "../domain/session.ts";
import { hex4 } from "../protocol/crc.ts";

/**
 * `box:boot:seq`, boot in 4 hex digits. On the 2nd, 3rd, ... day of a merged session `@2`, `@3`, ...
 * follows: a box that was left on, or has come round to the same number, says the same on two days.
 *
 * @param day - from 0
 */
export function boxPassingId(day: number, box: BoxId, boot: number, seq: number): string {
  return onDay(`${box}:${hex4(boot)}:${String(seq)}`, day);
}

/** The id that a passing of the first day would have on another day, from 0. */
export function onDay(passingId: string, day: number): string {
  return day === 0 ? passingId : `${passingId}@${String(day + 1)}`;
}

/** What a passing's id tells of its day: the entry that keyed it, or the day itself, from 0. */
export function toldBy(
  passingId: string,
): { readonly keyedSeq: number } | { readonly day: number } {
  const [, keyed] = /^hand:(\d+)$/.exec(passingId) ?? [];
  if (keyed !== undefined) return { keyedSeq: Number(keyed) };
  const [, day] = /@(\d+)$/.exec(passingId) ?? [];
  return { day: day === undefined ? 0 : Number(day) - 1 };
}
