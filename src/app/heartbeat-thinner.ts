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
/** Below it the beam is called weak on the screen: crossing it is news. */
const WEAK_BEAM_PCT = 90;
/** chosen: by then every event that was on its way has come in. */
const AFTER_EVENT_US = 2_000_000;
/** Kept of each boot whatever they say: from these it is learnt how often the box speaks. */
const FIRST_KEPT = 9;

/** What is remembered of one boot of one box. */
interface Known {
  readonly heardAt: HostUs;
  /** The newest heartbeat in the journal. */
  readonly kept: HeartbeatMessage | null;
  readonly keptAt: HostUs | null;
  /** How many of them are. */
  readonly count: number;
}

const NOTHING: Omit<Known, "heardAt"> = { kept: null, keptAt: null, count: 0 };

interface OfBox {
  readonly box: string;
  readonly boot: number;
  readonly type: string;
}

export class HeartbeatThinner {
  private readonly known = new Map<string, Known>();
  /** The newest event of any box. */
  private eventAt: HostUs | null = null;

  /** Something else of this box is in the journal now. */
  heard(of: OfBox, at: HostUs): void {
    if (of.type === "event") this.eventAt = at;
    this.known.set(keyOf(of), { ...NOTHING, ...this.known.get(keyOf(of)), heardAt: at });
  }

  /** True if it is to be kept; then it is remembered as the newest in the journal. */
  take(message: HeartbeatMessage, at: HostUs): boolean {
    const known = this.known.get(keyOf(message));
    const kept = known?.kept ?? null;
    const isSilent = known === undefined || at - known.heardAt >= SILENCE_US;
    const count = known?.count ?? 0;
    const isNoNews = kept !== null && !saysNews(kept, message);
    if (count >= FIRST_KEPT && !isSilent && !this.isOwed(known, at) && isNoNews) return false;
    this.known.set(keyOf(message), { heardAt: at, kept: message, keptAt: at, count: count + 1 });
    return true;
  }

  /** One of each box after each event: a run is sure once every box has shown a later time. */
  private isOwed(known: Known | undefined, at: HostUs): boolean {
    if (known === undefined || this.eventAt === null) return false;
    const dueUs = this.eventAt + AFTER_EVENT_US;
    return (known.keptAt ?? Number.NEGATIVE_INFINITY) < dueUs && dueUs <= at;
  }

  /** What was taken did not get to the disk: the next heartbeat of each box is kept. */
  forget(): void {
    this.known.clear();
  }
}

function keyOf({ box, boot }: Omit<OfBox, "type">): string {
  return `${box}:${String(boot)}`;
}

/** A number given out that has not come in yet, events lost in the box, a change of its health. */
function saysNews(before: HeartbeatMessage, now: HeartbeatMessage): boolean {
  return (
    now.nextSeq !== before.nextSeq ||
    now.overwritten !== before.overwritten ||
    before.beamPercent < WEAK_BEAM_PCT !== now.beamPercent < WEAK_BEAM_PCT ||
    Math.abs(now.batteryMv - before.batteryMv) >= BATTERY_STEP_MV ||
    Math.abs(now.beamPercent - before.beamPercent) >= BEAM_STEP_PCT
  );
}
