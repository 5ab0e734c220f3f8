// What is known of the boxes and ports: health, clocks, when last heard.
import type { BoxId } from "./session.ts";
import type { SessionUs } from "./time.ts";

/** What a battery showed at a moment. */
export interface BatteryReading {
  readonly at: SessionUs;
  /** mV, or % of a laptop's. */
  readonly level: number;
}

export interface BoxHealth {
  readonly box: BoxId;
  /** Newest boot number heard; null before the first line. */
  readonly boot: number | null;
  /** Role it says: S, F, P1..P9. */
  readonly role: string | null;
  readonly lastHeardAt: SessionUs | null;
  readonly battMv: number | null;
  /** Share of the last heartbeat interval in which the beam was seen, %. */
  readonly beamPct: number | null;
  /** Battery through the day, mV, at most one reading a minute; left out: none. */
  readonly battery?: readonly BatteryReading[];
  /** Blocked for over 10 s and not yet clear again. */
  readonly isBlocked: boolean;
  /** Answered clock questions of the newest boot. */
  readonly exchanges: number;
  readonly restarts: number;
  /** Sent two different events under one number in its newest boot: what it sees no longer counts. */
  readonly isDisputed: boolean;
  /** A receiver with lines of its own: it speaks only when something passes, and of nothing else. */
  readonly isMute?: boolean;
  /** Usual time between two of its heartbeats, s, 2 or more; null or left out: not known yet. */
  readonly usualGapS?: number | null;
  /** Blockings too short for a passing, of the newest boot; null or left out: not told. */
  readonly glitches?: number | null;
}

export interface PortHealth {
  readonly port: string;
  readonly isOpen: boolean;
  readonly since: SessionUs;
  /** Why it is not open, or null. */
  readonly reason: string | null;
}

/** What could not be read: counted for ever, the newest kept. */
export interface LineFaults {
  readonly unreadable: number;
  readonly duplicates: number;
  /** Newest last, at most 20. */
  readonly recent: readonly {
    readonly at: SessionUs;
    readonly port: string;
    readonly text: string;
  }[];
}
