// One light barrier as the firmware sees it: blocked and clear to passes; used by the simulated box.
import type { EventKind } from "../protocol/message.ts";

/** Blocked for longer than this: the gate is down (kind X) until it clears (kind O). */
const DOWN_US = 10_000_000;

/** What the beam does when it is its turn again. */
interface Due {
  readonly atUs: number;
  readonly what: "confirm" | "down" | "rearm";
}

/** Tells a kind of event, its instant on the true clock, and how often the beam was blocked. */
export type OnBeam = (kind: EventKind, atUs: number, pulses: number) => void;

/**
 * ARMED, blocked for `blockUs`: B with the first edge; then clear for `rearmUs`: C with the last
 * clearing edge. Blocked for less: a glitch. All instants are true time, us, never going back.
 */
export class Beam {
  glitches = 0;
  isBlocked = false;
  private readonly on: OnBeam;
  private state: "armed" | "candidate" | "pass" | "down" = "armed";
  /** First edge of the pass, and of the block that lasts. */
  private firstUs = 0;
  private blockedUs = 0;
  private clearedUs = 0;
  private pulses = 0;
  private due: Due[] = [];

  constructor(on: OnBeam) {
    this.on = on;
  }

  nextDueUs(): number {
    return this.due.reduce((least, d) => Math.min(least, d.atUs), Number.POSITIVE_INFINITY);
  }

  /** Runs what has become due up to and including `nowUs`. */
  advance(nowUs: number, rearmUs: number): void {
    for (;;) {
      const next = this.due.reduce<Due | undefined>(
        (first, d) => (d.atUs <= nowUs && (first === undefined || d.atUs < first.atUs) ? d : first),
        undefined,
      );
      if (next === undefined) return;
      this.due = this.due.filter((d) => d !== next);
      if (next.what === "confirm") this.confirm();
      else if (next.what === "down") this.goDown();
      else this.rearm(next.atUs, rearmUs);
    }
  }

  /** @param pulses - how often the spokes and tubes of this passing block it */
  block(nowUs: number, pulses: number, blockUs: number): void {
    this.isBlocked = true;
    this.blockedUs = nowUs;
    this.due.push({ atUs: nowUs + DOWN_US, what: "down" });
    if (this.state === "pass") {
      this.pulses += pulses;
      return;
    }
    if (this.state !== "armed") return;
    this.state = "candidate";
    this.firstUs = nowUs;
    this.pulses = pulses;
    this.due.push({ atUs: nowUs + blockUs, what: "confirm" });
  }

  /** Blocked when the box was switched on: down, not a passing. */
  startBlocked(nowUs: number): void {
    this.isBlocked = true;
    this.state = "down";
    this.on("X", nowUs, 0);
  }

  clear(nowUs: number, rearmUs: number): void {
    this.isBlocked = false;
    this.clearedUs = nowUs;
    if (this.state === "candidate") {
      this.glitches += 1;
      this.reset();
    } else if (this.state === "down") {
      this.on("O", nowUs, 0);
      this.reset();
    } else if (this.state === "pass") {
      this.due = this.due.filter((d) => d.what !== "down");
      this.due.push({ atUs: nowUs + rearmUs, what: "rearm" });
    }
  }

  private confirm(): void {
    if (this.state !== "candidate") return;
    this.state = "pass";
    this.on("B", this.firstUs, 0);
  }

  private goDown(): void {
    if (this.state !== "pass" || !this.isBlocked) return;
    this.state = "down";
    this.on("X", this.blockedUs, 0);
  }

  private rearm(nowUs: number, rearmUs: number): void {
    if (this.state !== "pass" || this.isBlocked || nowUs < this.clearedUs + rearmUs) return;
    this.on("C", this.clearedUs, this.pulses);
    this.reset();
  }

  private reset(): void {
    this.state = "armed";
    this.due = [];
  }
}
