// One real box on a cable to the program's real receiver, in virtual time; used by the tests of the box.
import { onTestFinished } from "vitest";
import type { ClockExchange } from "../../src/domain/exchange.ts";
import { hostUs } from "../../src/domain/time.ts";
import { decode, decoderStart } from "../../src/protocol/decode.ts";
import { encodeHostLine, lineBytes } from "../../src/protocol/encode.ts";
import type { Fault } from "../../src/protocol/fault.ts";
import type {
  BoxMessage,
  EventKind,
  EventMessage,
  GoneMessage,
  HeartbeatMessage,
  HostMessage,
} from "../../src/protocol/message.ts";
import {
  acksDue,
  type Outgoing,
  overdue,
  portClosed,
  queriesDue,
  receive,
  receiverStart,
} from "../../src/protocol/receiver.ts";
import { exchangeOf } from "../../src/protocol/reply.ts";
import { LockstepBox, type LockstepOptions, type SentByte } from "./lockstep-box.ts";

const PORT = "cable";
/** The host looks this often; what it answers leaves then. */
const STEP_US = 1000;
const TICK_US = 100_000;
const COLON = 0x3a;
const LINE_FEED = 0x0a;

/** Cut behind each line feed. */
function linesOf(sent: readonly SentByte[]): readonly (readonly SentByte[])[] {
  const lines: SentByte[][] = [[]];
  for (const byte of sent) {
    lines.at(-1)?.push(byte);
    if (byte.byte === LINE_FEED) lines.push([]);
  }
  return lines.filter((line) => line.length > 0);
}

/** A line's true instants at the box: when the ':' of a question was there, when that of the answer began. */
export interface TrueExchange extends ClockExchange {
  readonly heardUs: number;
  readonly saidUs: number;
}

export class Bench {
  readonly box: LockstepBox;
  /** Every event that was new to the receiver, in the order in which they came. */
  readonly events: EventMessage[] = [];
  readonly boots: Extract<BoxMessage, { type: "boot" }>[] = [];
  readonly heartbeats: HeartbeatMessage[] = [];
  readonly gone: GoneMessage[] = [];
  readonly exchanges: TrueExchange[] = [];
  readonly faults: Fault[] = [];
  /** Events that came again. */
  duplicates = 0;
  isCableIn = true;
  /** Whether the clock is asked, as the recorder does. */
  isAsking = true;
  /** Whether events are acknowledged. */
  isAcknowledging = true;
  private state = receiverStart;
  private decoder = decoderStart;
  private tickUs = 0;
  /** When the newest line of the box began. */
  private colonUs = Number.NaN;
  /** True instants at which the ':' of questions were at the box, by token. */
  private readonly asked = new Map<string, number>();

  constructor(options: LockstepOptions = {}) {
    this.box = new LockstepBox(options);
    onTestFinished(() => this.box.end());
  }

  get nowUs(): number {
    return this.box.nowUs;
  }

  /** Events of one kind. */
  of(kind: EventKind): readonly EventMessage[] {
    return this.events.filter((event) => event.kind === kind);
  }

  /** The cable is out: what is sent meanwhile is lost, both ways. */
  pull(): void {
    this.isCableIn = false;
    this.state = portClosed(this.state, PORT);
    this.decoder = decoderStart;
  }

  plug(): void {
    this.isCableIn = true;
    this.say({ type: "identify", box: "?" });
  }

  say(message: HostMessage): void {
    this.raw(lineBytes(encodeHostLine(message)));
  }

  /** Any bytes to the box. @returns when the first one begins */
  raw(bytes: Uint8Array): number {
    return this.isCableIn ? this.box.send(bytes, this.nowUs) : Number.NaN;
  }

  /** Bytes that come to the host out of nowhere. */
  noise(bytes: Uint8Array): void {
    this.take(bytes, this.nowUs);
  }

  /** Lets so many seconds pass. */
  async pass(seconds: number): Promise<void> {
    const endUs = this.nowUs + seconds * 1e6;
    while (this.nowUs < endUs) {
      const toUs = Math.min(endUs, this.nowUs + STEP_US);
      const sent = await this.box.advance(toUs);
      if (this.isCableIn && sent.length > 0) {
        for (const line of linesOf(sent)) {
          this.colonUs = line.find(({ byte }) => byte === COLON)?.beginsUs ?? this.colonUs;
          this.take(
            Uint8Array.from(line, ({ byte }) => byte),
            toUs,
          );
        }
      }
      if (toUs >= this.tickUs) this.tick();
    }
  }

  private take(bytes: Uint8Array, atUs: number): void {
    const decoded = decode(this.decoder, bytes, hostUs(atUs));
    this.decoder = decoded.state;
    this.faults.push(...decoded.faults);
    const toSend: Outgoing[] = [];
    for (const { message, at } of decoded.messages) {
      const receipt = receive(this.state, PORT, message, at);
      this.state = receipt.state;
      toSend.push(...receipt.toSend);
      if (receipt.refused) throw new Error(receipt.notices.join());
      this.note(message, receipt.fresh, at);
    }
    if (this.isAcknowledging) {
      const acks = acksDue(this.state);
      this.state = acks.state;
      toSend.unshift(...acks.toSend);
    }
    for (const { message } of toSend) this.say(message);
  }

  private note(message: BoxMessage, isFresh: boolean, atUs: number): void {
    switch (message.type) {
      case "event":
        if (isFresh) this.events.push(message);
        else this.duplicates += 1;
        return;
      case "boot":
        this.boots.push(message);
        return;
      case "heartbeat":
        this.heartbeats.push(message);
        return;
      case "gone":
        this.gone.push(message);
        return;
      case "reply": {
        const exchange = exchangeOf(message, PORT, hostUs(atUs));
        const heardUs = this.asked.get(message.token);
        if (exchange === undefined || heardUs === undefined)
          throw new Error("an answer to nothing");
        this.exchanges.push({ ...exchange, heardUs, saidUs: this.colonUs });
        return;
      }
    }
  }

  private tick(): void {
    this.tickUs += TICK_US;
    if (!this.isCableIn) return;
    const now = hostUs(this.nowUs);
    if (this.isAsking) {
      const asked = queriesDue(this.state, now);
      this.state = asked.state;
      for (const { message } of asked.toSend) {
        if (message.type !== "query") continue;
        const beginsUs = this.raw(lineBytes(encodeHostLine(message)));
        // There in the middle of its stop bit.
        this.asked.set(message.token, beginsUs + 9.5e6 / 115_200);
      }
    }
    const late = overdue(this.state, now);
    this.state = late.state;
    for (const { message } of late.toSend) this.say(message);
  }
}
