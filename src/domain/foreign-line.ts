// Lines of a receiver that does not speak our protocol, as the user's own sheet describes them.
import type { BoxId } from "./ids.ts";

/**
 * What the time in a line is. `s`, `ms`, `us`: a count that the device keeps; `h:m:s`: hours, minutes and
 * seconds, hours and minutes may be missing.
 */
export type ForeignUnit = "s" | "ms" | "us" | "h:m:s";

/**
 * Whose time it is. `device`: the device's own clock, from whatever beginning. `arrival`: none in the line,
 * the moment of its arrival counts.
 */
export type ForeignClock = "device" | "arrival";

/** One kind of line. */
export interface ForeignLine {
  readonly name: string;
  /** A regular expression with the named groups time, gate, tag; anchored by whoever wrote it. */
  readonly pattern: string;
  readonly unit: ForeignUnit;
  readonly clock: ForeignClock;
  /** Box of the sheet's gates that its passings count for, by what the group `gate` says; "" without that group. */
  readonly boxes: Readonly<Record<string, BoxId>>;
  /** Longest time from the passing to the last byte of its line, s: the clock is known no better. */
  readonly latencyS: number;
  /** Step of the time that it prints, s. */
  readonly resolutionS: number;
  readonly baud: number;
}
