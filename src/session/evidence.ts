// What came from outside, as far as the fold has read: boxes, boots, exchanges, ports. Made entry by
// entry in fold.ts.
import type { BatteryReading } from "../domain/equipment.ts";
import type { ClockExchange } from "../domain/exchange.ts";
import type { BoxId } from "../domain/session.ts";
import type { HostUs, SessionUs } from "../domain/time.ts";
import type { Entry } from "../journal/entry.ts";
import type { BoxMessage, EventMessage } from "../protocol/message.ts";
import { type Growing, type Indexed, nothingIndexed, nothingYet } from "./growing.ts";

/** An event with the entry that brought it. */
export interface StoredEvent {
  readonly entrySeq: number;
  readonly host: string;
  readonly message: EventMessage;
}

/** Exchanges over one path, within one run of the laptop's clock. */
export interface ExchangeGroup {
  readonly host: string;
  readonly port: string;
  readonly exchanges: Growing<ClockExchange>;
}

/** Events that the box no longer had when they were asked for. */
interface GoneRange {
  readonly fromSeq: number;
  readonly toSeq: number;
  readonly at: SessionUs;
}

/** One boot of one box. */
export interface BootEvidence {
  readonly boot: number;
  /** By number of the event in its boot. */
  readonly events: Indexed<StoredEvent>;
  readonly gone: readonly GoneRange[];
  /** By host and port. */
  readonly exchanges: ReadonlyMap<string, ExchangeGroup>;
  readonly exchangeCount: number;
  /** Least arrival minus box time, by host, us: where the box's clock stands without exchanges. */
  readonly leastDelayUs: ReadonlyMap<string, number>;
  /** The box has said what it holds. */
  readonly hasSaidHeld: boolean;
  readonly newestHeld: {
    readonly port: string;
    readonly message: BoxMessage;
    /** How much had been received when it came. */
    readonly place: number;
  } | null;
}

/** One box on one day. */
export interface BoxEvidence {
  readonly box: BoxId;
  readonly day: number;
  /** Newest boot. */
  readonly current: number;
  readonly boots: ReadonlyMap<number, BootEvidence>;
  readonly role: string | null;
  readonly lastHeardAt: SessionUs;
  readonly battMv: number | null;
  readonly beamPct: number | null;
  /** Battery through the day, at most one reading a minute, the newest last, mV. */
  readonly battery: readonly BatteryReading[];
  /** Blockings too short for a passing, as the newest heartbeat says. */
  readonly glitches: number | null;
  /** How often it speaks; null before the first heartbeat. */
  readonly heartbeats: HeartbeatRhythm | null;
  /** The newest edge of the newest boot. */
  readonly edge: { readonly seq: number; readonly isBlocked: boolean };
  readonly restarts: number;
  /** The boot in which one number was used for two events; null if none. */
  readonly disputedBoot: number | null;
}

/** Gaps between the first heartbeats of a boot on one port. */
interface HeartbeatRhythm {
  readonly boot: number;
  readonly port: string;
  readonly at: SessionUs;
  /** At most eight, s. */
  readonly gapsS: readonly number[];
}

export interface PortEvidence {
  readonly port: string;
  readonly isOpen: boolean;
  readonly since: SessionUs;
  readonly reason: string | null;
}

interface FaultEvidence {
  readonly unreadable: number;
  readonly duplicates: number;
  readonly recent: readonly {
    readonly at: SessionUs;
    readonly port: string;
    readonly text: string;
  }[];
}

/** An entry that is not evidence: what a person decided, or what the sheet said. */
export interface Decision {
  readonly entry: Entry;
  readonly at: SessionUs;
  /** That of the run or passing it names, else the day that it was written on. */
  readonly day: number;
  /** Written into the merged session itself, not by one of its days. */
  readonly isAfterMerge: boolean;
}

/** Where another day of a merged session begins. */
export interface DayMark {
  /** Of the entry that says so. */
  readonly seq: number;
  /** Entries after it that are that day's own session. */
  readonly entries: number;
  /** Session time of the newest entry of the day before. */
  readonly dayBeforeEndedAt: SessionUs | null;
}

/** Everything folded in so far; `sessionOf` makes a session of it. */
export interface Fold {
  readonly lastSeq: number;
  /** Session time of the newest entry of the newest day; null before the first. */
  readonly now: SessionUs | null;
  /** Day of a merged session that entries belong to now. */
  readonly day: number;
  /** One for each day after the first. */
  readonly dayMarks: readonly DayMark[];
  /** atUs - monoUs of the first entry of each host, by day: each day had a laptop of its own. */
  readonly anchorsUs: ReadonlyMap<number, ReadonlyMap<string, number>>;
  /** When the session began, by day: made, or its recorder started if that says earlier. */
  readonly beganAt: ReadonlyMap<number, SessionUs>;
  readonly decisions: Growing<Decision>;
  /** By day and box, in order of first line. */
  readonly boxes: ReadonlyMap<string, BoxEvidence>;
  readonly ports: ReadonlyMap<string, PortEvidence>;
  readonly faults: FaultEvidence;
  /** What was received and counted on the newest day, for a restarted recorder: events, gaps, the first word of each boot. */
  readonly received: Growing<{ readonly port: string; readonly message: BoxMessage }>;
  readonly anomalies: Growing<string>;
}

const noAnchors: ReadonlyMap<string, number> = new Map();

/** The anchors of one day's hosts. */
export function anchorsOn(fold: Fold, day: number): ReadonlyMap<string, number> {
  return fold.anchorsUs.get(day) ?? noAnchors;
}

/** Key of a box in the fold. */
export function boxKey(day: number, box: BoxId): string {
  return `${String(day)} ${box}`;
}

/** A boot never heard of before. */
export function newBoot(boot: number): BootEvidence {
  return {
    boot,
    events: nothingIndexed(),
    gone: [],
    exchanges: new Map(),
    exchangeCount: 0,
    leastDelayUs: new Map(),
    hasSaidHeld: false,
    newestHeld: null,
  };
}

/** A box never heard of before. */
export function newBox(box: BoxId, day: number, boot: number, at: SessionUs): BoxEvidence {
  return {
    box,
    day,
    current: boot,
    boots: new Map(),
    role: null,
    lastHeardAt: at,
    battMv: null,
    beamPct: null,
    battery: [],
    glitches: null,
    heartbeats: null,
    edge: { seq: 0, isBlocked: false },
    restarts: 0,
    disputedBoot: null,
  };
}

/** Nothing folded in yet. */
export const nothingFolded: Fold = {
  lastSeq: 0,
  now: null,
  day: 0,
  dayMarks: [],
  anchorsUs: new Map(),
  beganAt: new Map(),
  decisions: nothingYet(),
  boxes: new Map(),
  ports: new Map(),
  faults: { unreadable: 0, duplicates: 0, recent: [] },
  received: nothingYet(),
  anomalies: nothingYet(),
};

/** Where and when a line came in. */
export interface Arrival {
  readonly entrySeq: number;
  readonly host: string;
  readonly port: string;
  readonly monoUs: HostUs;
  readonly at: SessionUs;
  readonly day: number;
}
