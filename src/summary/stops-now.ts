// The stops that stand for riders at this moment: tired, hurt, or a bike to be checked; shown by the
// console and answered there.
import { type RiderStop, riderStops } from "../advisor/rider-stops.ts";
import type { Summary } from "./summary.ts";

export { minutesSinceFinish } from "../advisor/rest-before.ts";
export type { RiderStop } from "../advisor/rider-stops.ts";

/** Rider after rider in the sheet's order, what holds a rider first. */
export function stopsNow(summary: Summary): readonly RiderStop[] {
  return summary.riders.flatMap((rider) => riderStops(summary, rider));
}
