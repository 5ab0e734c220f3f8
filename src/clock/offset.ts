// Offset and round trip of one exchange; called by the fit of a box's clock.
import type { ClockExchange } from "../domain/exchange.ts";

/**
 * Box clock minus host clock, us, positive if the box's clock is ahead. Its error is at most half
 * the round trip, reached when the whole delay lies on one way.
 *
 * @see RFC 5905, section 8: theta = ((T2 - T1) + (T3 - T4)) / 2
 */
export function offsetUs({ t1Us, t2Us, t3Us, t4Us }: ClockExchange): number {
  return (t2Us - t1Us + (t3Us - t4Us)) / 2;
}

/**
 * Time on the way, both ways together, us.
 *
 * @see RFC 5905, section 8: delta = (T4 - T1) - (T3 - T2)
 */
export function roundTripUs({ t1Us, t2Us, t3Us, t4Us }: ClockExchange): number {
  return t4Us - t1Us - (t3Us - t2Us);
}
