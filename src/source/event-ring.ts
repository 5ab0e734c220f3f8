// The events that a box holds until they are acknowledged, and which goes out next; used by the
// simulated box.
import type { EventMessage } from "../protocol/message.ts";

const HELD = 64;
const WINDOW = 32;
const RESEND_US = 1_000_000;
const RESEND_MAX_US = 8_000_000;
/** Sequence numbers end here; then the box restarts. */
const LAST_SEQ = 9_999_999;

/** What of an event does not depend on its number. */
export type EventContent = Omit<EventMessage, "seq">;

/**
 * A ring of 64. Up to 32 go out without an acknowledgement; after a second without one (doubling to
 * 8 s) the oldest alone goes out again, and each acknowledgement doubles the window.
 */
export class EventRing {
  overwritten = 0;
  nextSeq = 1;
  /** When the oldest goes out again unless something is acknowledged, true time, us. */
  resendAtUs = Number.POSITIVE_INFINITY;
  private held: EventMessage[] = [];
  private toSend = 1;
  private lastSent = 0;
  private window = WINDOW;
  private resendUs = RESEND_US;

  get oldestSeq(): number {
    return this.held[0]?.seq ?? this.nextSeq;
  }

  get isFull(): boolean {
    return this.nextSeq > LAST_SEQ;
  }

  /** Full: the oldest is overwritten, and counted. */
  add(event: EventContent): void {
    this.held.push({ ...event, seq: this.nextSeq });
    this.nextSeq += 1;
    if (this.held.length > HELD) {
      this.held.shift();
      this.overwritten += 1;
    }
  }

  /** The event whose turn it is, counted as sent; undefined if none is or the window is full. */
  take(nowUs: number): EventMessage | undefined {
    const seq = Math.max(this.toSend, this.oldestSeq);
    if (seq >= this.nextSeq || seq - this.oldestSeq >= this.window) return undefined;
    this.toSend = seq + 1;
    this.lastSent = Math.max(this.lastSent, seq);
    if (this.resendAtUs === Number.POSITIVE_INFINITY) this.resendAtUs = nowUs + this.resendUs;
    return this.held[seq - this.oldestSeq];
  }

  get hasTurn(): boolean {
    const seq = Math.max(this.toSend, this.oldestSeq);
    return seq < this.nextSeq && seq - this.oldestSeq < this.window;
  }

  /** Everything up to `seq` is safe at the host. Beyond the last one sent: ignored. */
  acknowledge(seq: number, nowUs: number): void {
    if (seq > this.lastSent || seq < this.oldestSeq) return;
    this.held = this.held.filter((event) => event.seq > seq);
    this.window = Math.min(this.window * 2, WINDOW);
    this.resendUs = RESEND_US;
    this.resendAtUs = this.held.length > 0 ? nowUs + RESEND_US : Number.POSITIVE_INFINITY;
  }

  /** To be called when `resendAtUs` has come. */
  resend(nowUs: number): void {
    this.window = 1;
    this.toSend = this.oldestSeq;
    this.resendUs = Math.min(this.resendUs * 2, RESEND_MAX_US);
    this.resendAtUs = this.held.length > 0 ? nowUs + this.resendUs : Number.POSITIVE_INFINITY;
  }

  /**
   * Goes back to `seq`.
   *
   * @returns the numbers asked for that are no longer held, or undefined
   */
  goBack(seq: number): { readonly fromSeq: number; readonly toSeq: number } | undefined {
    if (seq < 1 || seq >= this.nextSeq) return undefined;
    const oldest = this.oldestSeq;
    this.toSend = Math.max(seq, oldest);
    this.window = Math.max(this.window, this.toSend - oldest + 1);
    return seq < oldest ? { fromSeq: seq, toSeq: oldest - 1 } : undefined;
  }

  /** Everything held goes out again, oldest first: the host has asked who is there. */
  startOver(): void {
    this.toSend = this.oldestSeq;
  }
}
