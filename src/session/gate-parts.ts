// How well a passing's instant is known apart from the clocks; called for each passing that is seen.
import type { GatePart, PassingSource } from "../domain/passing.ts";
import { rectangular } from "./combined-uncertainty.ts";

/** Receiver's delay, +-4 cycles of a 38 kHz carrier, s; demodulating receivers, from memory. */
const OPTICS_S = 105e-6;
/** Where the tyre meets the beam (lean, bounce), +-m. */
const MEETS_M = 0.005;
/** chosen: speed where nothing gives one, m/s; test/summary/time-budget.test.ts names it. */
const USUAL_SPEED = 8;
/** Front of the front tyre to back of the rear one at hub height, m. */
const BIKE_M = 1.96;
/** Scatter of the box's stamp against the true edge, measured on the firmware, s. */
const STAMP_S = 0.29e-6;
/** chosen: a transponder is read somewhere within its field; no figure of a real reader is known. */
const TRANSPONDER_S = 0.1;
/** A person's press, like any hand timing. */
const PRESS_S = 0.2;

function bounded(kind: GatePart["kind"], halfWidthS: number): GatePart {
  return { kind, halfWidthS, uncertaintyS: rectangular(halfWidthS) };
}

/**
 * Speed through a gate from how long the beam was broken, m/s; null where that is not a bike's.
 *
 * @param blockedS - from the first edge to the last, s
 */
function speedThrough(blockedS: number | null): number | null {
  return blockedS !== null && blockedS > 0.05 && blockedS < 2 ? BIKE_M / blockedS : null;
}

/** Step of the time that a receiver prints. @see JCGM 100:2008, F.2.2.1 (resolution) */
export function stepOf(resolutionS: number): GatePart {
  return bounded("stamp", resolutionS / 2);
}

/**
 * @param speed - through the gate if it is known better than by how long the beam was broken, m/s
 * @see JCGM 100:2008, 4.3.7 (a bound as a rectangular distribution)
 */
export function gatePartsOf(
  source: PassingSource,
  blockedS: number | null,
  speed: number | null = speedThrough(blockedS),
): readonly GatePart[] {
  if (source === "transponder") {
    return [{ kind: "reader", halfWidthS: null, uncertaintyS: TRANSPONDER_S }];
  }
  if (source !== "beam") return [{ kind: "press", halfWidthS: null, uncertaintyS: PRESS_S }];
  return [
    bounded("optics", OPTICS_S),
    bounded("meets", MEETS_M / (speed ?? USUAL_SPEED)),
    { kind: "stamp", halfWidthS: null, uncertaintyS: STAMP_S },
  ];
}
