// An answered clock question as one exchange, if it can be believed; called by the recorder.
import type { ClockExchange } from "../domain/exchange.ts";
import type { HostUs } from "../domain/time.ts";
import type { ReplyMessage } from "./message.ts";

/** chosen: an answer later than this is from another time (a restarted laptop, a stuck relay). */
const LATEST_US = 10_000_000;

/**
 * The four instants of one exchange.
 *
 * @param port - port that the answer came in on
 * @param at - stamp of the chunk that the answer's ':' came in, host's monotonic clock
 * @returns undefined if the instants cannot belong together: out of order, or over 10 s apart
 */
export function exchangeOf(
  reply: ReplyMessage,
  port: string,
  at: HostUs,
): ClockExchange | undefined {
  const { box, boot, t1Us, t2Us, t3Us } = reply;
  const awayUs = at - t1Us;
  const insideUs = t3Us - t2Us;
  if (awayUs < 0 || awayUs > LATEST_US || insideUs < 0 || insideUs > awayUs) return undefined;
  return { box, boot, port, t1Us, t2Us, t3Us, t4Us: at };
}
