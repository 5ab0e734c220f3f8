// Bikes through a beam at hub height, edge by edge; used by the tests of the boxes.
import type { LockstepBox } from "./lockstep-box.ts";

/** Hub to hub, and tyre to tyre at hub height, m (a 29 inch wheel). */
const WHEELBASE_M = 1.2;
const WHEEL_M = 0.74;
/** Tyre and rim at hub height, a spoke, a hub, m. */
const TYRE_M = 0.06;
const SPOKE_M = 0.002;
const HUB_M = 0.03;
/** Spokes that cross the beam between tyre and hub. */
const SPOKES = 6;

/** How often a bike blocks the beam. */
export const BLOCKINGS = 2 * (2 + 1 + 2 * SPOKES);

/** One wheel: where it begins and ends to block, m from its foremost point. */
function wheel(): readonly (readonly [number, number])[] {
  const free = WHEEL_M / 2 - TYRE_M - HUB_M / 2;
  const spokes = (fromM: number) =>
    Array.from({ length: SPOKES }, (_, i) => {
      const at = fromM + ((i + 0.7) * free) / SPOKES;
      return [at, at + SPOKE_M] as const;
    });
  const hub = (WHEEL_M - HUB_M) / 2;
  return [
    [0, TYRE_M],
    ...spokes(TYRE_M),
    [hub, hub + HUB_M],
    ...spokes(hub + HUB_M),
    [WHEEL_M - TYRE_M, WHEEL_M],
  ];
}

/** A bike's true instants, us: its first edge and its last. */
export interface TruePass {
  readonly firstUs: number;
  readonly lastUs: number;
}

/** A bike goes through the beam. @param speed - m/s */
export function ride(box: LockstepBox, atUs: number, speed: number): TruePass {
  const us = (m: number) => atUs + (m / speed) * 1e6;
  for (const offset of [0, WHEELBASE_M]) {
    for (const [from, to] of wheel()) {
      box.beam(us(offset + from), true);
      box.beam(us(offset + to), false);
    }
  }
  return { firstUs: atUs, lastUs: us(WHEELBASE_M + WHEEL_M) };
}

/** A leaf, a fly: the beam blocked once, for a moment. */
export function blink(box: LockstepBox, atUs: number, forUs: number): void {
  box.beam(atUs, true);
  box.beam(atUs + forUs, false);
}
