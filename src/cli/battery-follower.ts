// The laptop's battery for the status line, read once a minute; called by the live console.
import type { BatteryReading } from "../domain/equipment.ts";
import type { SessionUs } from "../domain/time.ts";
import { LAPTOP, lastsToWords } from "../summary/batteries.ts";
import { clockTime } from "../tui/present/seconds.ts";
import { laptopBattery, laptopBatteryWords } from "./laptop-battery.ts";

const EVERY_US = 60e6;
/** chosen: four hours of minutes. */
const READINGS_KEPT = 240;

/** Asked as often as one likes: `laptop 78 %, lasts to about 15:40`; null without a battery. */
export function batteryFollower(now: () => SessionUs, zone: string): () => string | null {
  let kept: readonly BatteryReading[] = [];
  let words: string | null = null;
  let readAt = Number.NEGATIVE_INFINITY;
  return () => {
    const at = now();
    if (at - readAt < EVERY_US) return words;
    readAt = at;
    const battery = laptopBattery();
    if (battery === null) {
      words = null;
      return words;
    }
    kept = battery.isCharging
      ? []
      : [...kept, { at, level: battery.percent }].slice(-READINGS_KEPT);
    const lasts = lastsToWords(kept, LAPTOP, at, (instant) => clockTime(instant, zone));
    words = [laptopBatteryWords(battery), ...(lasts === null ? [] : [lasts])].join(", ");
    return words;
  };
}
