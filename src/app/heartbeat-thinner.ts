// Which heartbeats are worth a row: a box sends thousands a day that say nothing new. The newest
// state, every change and one each four seconds (a screen calls a gate silent after ten) are kept.
import type { HostUs } from "../domain/time.ts";
import type { HeartbeatMessage } from "../protocol/message.ts";

/** chosen: well under the 10 s after which a screen calls a gate silent. */
const EVERY_US = 4_000_000;
const BATTERY_STEP_MV = 50;
const BEAM_STEP_PCT = 10;

interface Kept {
  readonly message: HeartbeatMessage;
  readonly at: HostUs;
}

export class HeartbeatThinner {
  private readonly kept = new Map<string, Kept>();

  /** Remembers the heartbeat if it is to be kept. */
  isWorthKeeping(message: HeartbeatMessage, at: HostUs): boolean {
    const key = `${message.box}:${String(message.boot)}`;
    const last = this.kept.get(key);
    const isWorth =
      last === undefined || at - last.at >= EVERY_US || saysNews(last.message, message);
    if (isWorth) this.kept.set(key, { message, at });
    return isWorth;
  }
}

function saysNews(before: HeartbeatMessage, now: HeartbeatMessage): boolean {
  return (
    now.nextSeq !== before.nextSeq ||
    now.overwritten !== before.overwritten ||
    Math.abs(now.batteryMv - before.batteryMv) >= BATTERY_STEP_MV ||
    Math.abs(now.beamPercent - before.beamPercent) >= BEAM_STEP_PCT
  );
}
