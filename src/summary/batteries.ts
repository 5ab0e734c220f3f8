// How long a battery lasts, from what it has shown so far: the boxes' volts, the laptop's per cent.
// Called by the boxes page and the status line.
import { median } from "simple-statistics";
import type { BatteryReading } from "../domain/equipment.ts";
import { type SessionUs, sessionUs } from "../domain/time.ts";

/** What is known of a kind of battery. */
export interface BatteryKind {
  /** Level at which it is done. */
  readonly empty: number;
  /** A rise by so much is another battery, or a charger. */
  readonly fresh: number;
  /** A fall below this in an hour is none: noise. */
  readonly leastFallAnHour: number;
}

/** Protected Li-ion cell of a box, mV. chosen: 3.2 V a cell is where the wiring notes say to stop. */
export const BOX_CELL: BatteryKind = { empty: 3200, fresh: 100, leastFallAnHour: 5 };
/** Four NiMH cells, mV: 1.0 V a cell, common practice. */
export const BOX_FOUR_NIMH: BatteryKind = { empty: 4000, fresh: 150, leastFallAnHour: 8 };
/** The laptop, %. chosen: most shut down by themselves at about 5. */
export const LAPTOP: BatteryKind = { empty: 5, fresh: 3, leastFallAnHour: 1 };

/** A single cell is never above this, mV. */
const HIGHEST_CELL_MV = 4350;

/** chosen: less says little about hours; test/summary/batteries.test.ts. */
const LEAST_HISTORY_US = 30 * 60e6;
/** chosen: a cell falls fast when full and when nearly empty; what it did last counts; same test. */
const LOOK_BACK_US = 120 * 60e6;
/** Beyond this it lasts the day, us. */
const FURTHEST_US = 10 * 3600e6;
/** chosen: 4950 slopes at most, and no quicker one is lost; same test. */
const MOST_READINGS = 100;
const US_AN_HOUR = 3600e6;

/** The kind of a box's battery, by its volts: one cell cannot show more than 4.35 V. */
export function boxBattery(readings: readonly BatteryReading[]): BatteryKind {
  return readings.some(({ level }) => level > HIGHEST_CELL_MV) ? BOX_FOUR_NIMH : BOX_CELL;
}

/**
 * When the battery is done if it goes on falling as in the last two hours: a line through the median
 * of the slopes between all readings, which no single bad reading moves.
 *
 * It is no promise: a cell falls faster near its end, and cold takes a share of it that is not known
 * here.
 *
 * @param readings - in order of time; readings of 0 (not measured) are passed over
 * @returns null where nothing can be said: less than half an hour of history since it was changed or
 *   charged, no fall to speak of, or an end more than ten hours away
 * @see Theil (1950), Indagationes Mathematicae 12; Sen (1968), JASA 63, 1379-1389 (both from memory)
 */
export function lastsTo(readings: readonly BatteryReading[], kind: BatteryKind): SessionUs | null {
  const recent = thinned(sinceFresh(readings, kind));
  const [first, last] = [recent.at(0), recent.at(-1)];
  if (first === undefined || last === undefined) return null;
  if (last.level <= kind.empty) return last.at;
  if (last.at - first.at < LEAST_HISTORY_US) return null;
  const slopes = recent.flatMap((a, i) =>
    recent.slice(i + 1).map((b) => (b.level - a.level) / (b.at - a.at)),
  );
  const slope = median(slopes);
  if (!(-slope * US_AN_HOUR >= kind.leastFallAnHour)) return null;
  const now = median(recent.map(({ at, level }) => level + slope * (last.at - at)));
  const left = (now - kind.empty) / -slope;
  return left > FURTHEST_US ? null : sessionUs(Math.round(last.at + Math.max(0, left)));
}

/**
 * The readings of the last two hours since the battery was changed or charged, times rising. It was
 * where two readings running stand above the middle one of the three before: one alone is a bad one.
 */
function sinceFresh(
  readings: readonly BatteryReading[],
  kind: BatteryKind,
): readonly BatteryReading[] {
  const read = readings.filter(
    ({ at, level }, i) =>
      Number.isFinite(level) && level > 0 && at > (readings[i - 1]?.at ?? Number.NEGATIVE_INFINITY),
  );
  const newest = read.at(-1)?.at ?? 0;
  const fresh = read.findLastIndex(({ level }, i) => {
    const before = read.slice(Math.max(0, i - 3), i).map((each) => each.level);
    const after = read[i + 1]?.level ?? level;
    return before.length > 0 && Math.min(level, after) - median(before) >= kind.fresh;
  });
  return read.slice(Math.max(0, fresh)).filter(({ at }) => newest - at <= LOOK_BACK_US);
}

/** Evenly chosen, first and last included. */
function thinned(readings: readonly BatteryReading[]): readonly BatteryReading[] {
  const step = Math.max(1, (readings.length - 1) / (MOST_READINGS - 1));
  const places = Array.from(
    { length: Math.min(readings.length, MOST_READINGS) },
    (_, i) => readings[Math.round(i * step)],
  );
  return places.flatMap((reading) => reading ?? []);
}

/** Times are said to ten minutes, rounded down: nobody knows them better. */
const SAID_TO_US = 600e6;

/**
 * `lasts to about 15:40, less in the cold`, or nothing; `empty: change it` at the end of it.
 *
 * @param clock - time of day in words
 * @param now - the newest instant known
 */
export function lastsToWords(
  readings: readonly BatteryReading[],
  kind: BatteryKind,
  now: SessionUs,
  clock: (at: SessionUs) => string,
): string | null {
  const at = lastsTo(readings, kind);
  if (at === null) return null;
  if (at <= now) return "empty: change it";
  if (at - now < SAID_TO_US) return "lasts some minutes more: change it";
  const said = sessionUs(Math.floor(at / SAID_TO_US) * SAID_TO_US);
  return `lasts to about ${clock(said)}, less in the cold`;
}
