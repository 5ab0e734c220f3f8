// A calendar date and a time of day in a zone to session time; used by the reader of watch lists.
import { type SessionUs, sessionUs } from "../domain/time.ts";

/**
 * Midnight of a date where a zone's clocks show it, microseconds since 1970 UTC. Where a clock change
 * skips midnight, the instant that the new time reckons back to.
 *
 * @param date - `2026-05-09`
 * @param zone - IANA name
 * @throws {RangeError} if there is no such date or zone
 */
export function localMidnight(date: string, zone: string): SessionUs {
  const asUtcMs = Date.parse(`${date}T00:00:00Z`);
  if (Number.isNaN(asUtcMs)) throw new RangeError("localMidnight requires a date like 2026-05-09");
  // The offset half a day off may be another one: asked again at the instant it gives.
  const guess = asUtcMs - offsetMs(asUtcMs, zone);
  return sessionUs((asUtcMs - offsetMs(guess, zone)) * 1000);
}

/** How far the zone's clocks are ahead of UTC. */
function offsetMs(atMs: number, zone: string): number {
  const parts = new Intl.DateTimeFormat("en-GB", {
    timeZone: zone,
    year: "numeric",
    month: "2-digit",
    day: "2-digit",
    hour: "2-digit",
    minute: "2-digit",
    second: "2-digit",
    hourCycle: "h23",
  }).formatToParts(new Date(atMs));
  const part = (type: string): number =>
    Number(parts.find((each) => each.type === type)?.value ?? 0);
  const shown = Date.UTC(
    part("year"),
    part("month") - 1,
    part("day"),
    part("hour"),
    part("minute"),
    part("second"),
  );
  return shown - Math.floor(atMs / 1000) * 1000;
}
