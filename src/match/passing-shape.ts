// Does a broken beam look like a bike? Called by the session when the beam's clear line has come.

/** One block longer than this is somebody standing there, s. */
const LONG_BLOCK_S = 1.5;
/** One single pulse shorter than this is a leaf or an insect, s. */
const SHORT_PULSE_S = 0.02;

/**
 * True if a pass cannot have been a bike with two wheels: one long block, or one single short pulse.
 * Never a reason to drop it: it is shown, and the operator can promote it.
 *
 * chosen: a wheel, a gap and a wheel break the beam more than once; at 1.5 m/s the gap lasts 0.2 s.
 * A rider rolling slower than that as one block would be judged wrong; see the tests of this file.
 *
 * @param blockedS - first edge to last clearing, s; null while the clear line has not come
 * @param pulses - how often the beam was blocked
 */
export function looksWrong(blockedS: number | null, pulses: number | null): boolean {
  if (blockedS === null || pulses === null || pulses > 1) return false;
  return blockedS > LONG_BLOCK_S || blockedS < SHORT_PULSE_S;
}
