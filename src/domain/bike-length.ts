// How long a bike is where the beam meets it, from the lines of its set-up sheet; called by whatever
// turns the time that a beam was broken into a speed.
import type { Setup } from "./session.ts";

/** Length of a set-up's bike through a beam at hub height. */
export interface BikeLength {
  /** Foremost point of the front tyre to rearmost of the rear one, m. */
  readonly lengthM: number;
  /** Lines of the sheet that were not told (or could not be meant) and are taken as usual. */
  readonly assumed: readonly string[];
}

type Values = Setup["values"];

/**
 * What a line is taken for where the sheet does not tell it, and what it can be meant to be, mm.
 *
 * chosen: common practice for a bike of middle size, 1.97 m in all; the limits refuse inches and
 * metres typed for millimetres. One length for all runs moves no difference between speeds;
 * test/domain/bike-length.test.ts.
 */
const LINES = {
  wheelbase_mm: { usual: 1230, least: 700, most: 1700 },
  front_wheel_mm: { usual: 622, least: 250, most: 700 },
  rear_wheel_mm: { usual: 622, least: 250, most: 700 },
  front_tyre_mm: { usual: 61, least: 18, most: 150 },
  rear_tyre_mm: { usual: 61, least: 18, most: 150 },
} as const;

type LineKey = keyof typeof LINES;

/**
 * Wheelbase and both wheels' radii; a tyre counts as high as it is wide, which is common practice and
 * a few millimetres too much. What the set-up does not tell is taken from the baseline first: a line
 * that one sheet has and the other lacks must not look like a longer bike.
 *
 * @param values - of the set-up
 * @param baseline - values of the baseline
 */
export function bikeLength(values: Values, baseline: Values = {}): BikeLength {
  const assumed: string[] = [];
  const mm = (key: LineKey): number => {
    const told = toldMm(values, key) ?? toldMm(baseline, key);
    if (told === null) assumed.push(key);
    return told ?? LINES[key].usual;
  };
  const radius = (end: "front" | "rear"): number =>
    mm(`${end}_wheel_mm`) / 2 + mm(`${end}_tyre_mm`);
  return { lengthM: (mm("wheelbase_mm") + radius("front") + radius("rear")) / 1000, assumed };
}

function toldMm(values: Values, key: LineKey): number | null {
  const value = values[key];
  const { least, most } = LINES[key];
  return typeof value === "number" && value >= least && value <= most ? value : null;
}

/** `bike taken as 1.97 m long (wheelbase_mm, rear_tyre_mm not told)`, or with nothing assumed its length. */
export function bikeLengthWords({ lengthM, assumed }: BikeLength): string {
  const length = `${lengthM.toFixed(2)} m long`;
  return assumed.length === 0
    ? `bike ${length}`
    : `bike taken as ${length} (${assumed.join(", ")} not told)`;
}
