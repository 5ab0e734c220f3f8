// Which heartbeats are worth a row: a box sends thousands a day that say nothing new. Asked by the
// recorder for each. Kept are those with news, and those without which a box would seem silent.
import type { HostUs } from "../domain/time.ts";
import type { HeartbeatMessage } from "../protocol/message.ts";

/**
 * chosen: more than the 5 s between clock questions, whose answers show as well that a box lives, and
 * less than the 10 s after which a screen calls a gate silent.
 */
const SILENCE_US = 6_000_000;
const BATTERY_STEP_MV = 50;
const BEAM_STEP_PCT = 10;

/** What is remembered of one boot of one box. */
interface Known {
  readonly heardAt: HostUs;
  /** The newest heartbeat in the journal. */
  readonly kept: HeartbeatMessage | null;
}

interface OfBox {
  readonly box: string;
  readonly boot: number;
}

export class HeartbeatThinner {
  private readonly known = new Map<string, Known>();

  /** Something else of this box is in the journal now. */
  heard(of: OfBox, at: HostUs): void {
    this.known.set(keyOf(of), { heardAt: at, kept: this.known.get(keyOf(of))?.kept ?? null });
  }

  /** True if it is to be kept; then it is remembered as the newest in the journal. */
  take(message: HeartbeatMessage, at: HostUs): boolean {
    const known = this.known.get(keyOf(message));
    const kept = known?.kept ?? null;
    const isSilent = known === undefined || at - known.heardAt >= SILENCE_US;
    if (!isSilent && kept !== null && !saysNews(kept, message)) return false;
    this.known.set(keyOf(message), { heardAt: at, kept: message });
    return true;
  }

  /** What was taken did not get to the disk: the next heartbeat of each box is kept. */
  forget(): void {
    this.known.clear();
  }
}

function keyOf({ box, boot }: OfBox): string {
  return `${box}:${String(boot)}`;
}

/** A number given out that has not come in yet, events lost in the box, a change of its health. */
function saysNews(before: HeartbeatMessage, now: HeartbeatMessage): boolean {
  return (
    now.nextSeq !== before.nextSeq ||
    now.overwritten !== before.overwritten ||
    Math.abs(now.batteryMv - before.batteryMv) >= BATTERY_STEP_MV ||
    Math.abs(now.beamPercent - before.beamPercent) >= BEAM_STEP_PCT
  );
}
