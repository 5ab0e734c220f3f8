// One answered question for a box's clock: what the clock fit is made of, as the journal keeps it.
import type { BoxId } from "./session.ts";
import type { BoxUs, HostUs } from "./time.ts";

/** The four instants of one exchange, raw, so that every time can be worked out again later. */
export interface ClockExchange {
  readonly box: BoxId;
  /** Boot of the box that answered; an exchange says nothing about another boot. */
  readonly boot: number;
  /** Port that the answer came in on: another port is another path. */
  readonly port: string;
  /** Question left the laptop. */
  readonly t1Us: HostUs;
  /** Question reached the box. */
  readonly t2Us: BoxUs;
  /** Answer left the box. */
  readonly t3Us: BoxUs;
  /** Answer reached the laptop. */
  readonly t4Us: HostUs;
}
