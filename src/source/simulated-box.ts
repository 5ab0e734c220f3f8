// A timing box in software that speaks gateline 1 like the real one; used by the hill and by tests.
import { assertNever } from "../domain/errors.ts";
import { seededRandom } from "../domain/seeded.ts";
import { type BoxUs, boxUs } from "../domain/time.ts";
import { decodeHost, decoderStart } from "../protocol/decode.ts";
import { encodeBoxLine, lineBytes } from "../protocol/encode.ts";
import type { DecoderState } from "../protocol/frame.ts";
import type { BoxMessage, BoxRole, EventKind, HostMessage } from "../protocol/message.ts";
import { Beam } from "./beam.ts";
import { EventRing } from "./event-ring.ts";

/** 115200 bit/s, ten bits a byte. */
const BYTE_US = 10e6 / 115_200;
/** From a line's last byte to its answer. */
const THINK_US = 300;

export interface BoxOptions {
  readonly id: string;
  readonly role: BoxRole;
  /** Boot number of the first boot, 0 to 0xFFFF. */
  readonly boot: number;
  /** True time at which it is switched on, us. */
  readonly onAtUs: number;
  /** How much its clock runs fast, parts in a million. */
  readonly skewPpm: number;
  readonly seed: number;
  /** Mean time between heartbeats, us; each one is up to 20 % earlier or later. */
  readonly heartbeatUs?: number;
  /** Silence after each line, us: half-duplex radio. */
  readonly quietUs?: number;
}

/** A line and the true time at which its ':' leaves, us. */
export interface SentLine {
  readonly atUs: number;
  readonly bytes: Uint8Array;
}

interface Planned {
  readonly atUs: number;
  readonly run: (nowUs: number) => void;
}

/**
 * Driven by true time in microseconds, which never goes back and which no one but the caller moves;
 * there are no timers inside. What it stamps is its own, skewed clock.
 */
export class SimulatedBox {
  id: string;
  role: BoxRole;
  boot: number;
  private readonly options: BoxOptions;
  private readonly random: () => number;
  private nowUs: number;
  private bootedAtUs: number;
  private beam: Beam;
  private ring = new EventRing();
  private decoder: DecoderState = decoderStart;
  private badInput = 0;
  private blockUs = 2000;
  private rearmUs = 800_000;
  private heartbeatAtUs = 0;
  private freeAtUs = 0;
  /** Lines made when their turn comes, so that what they say is true then. */
  private urgent: (() => BoxMessage)[] = [];
  private planned: Planned[] = [];
  private out: SentLine[] = [];

  constructor(options: BoxOptions) {
    this.options = options;
    this.id = options.id;
    this.role = options.role;
    this.boot = options.boot;
    this.random = seededRandom(options.seed);
    this.nowUs = options.onAtUs;
    this.bootedAtUs = options.onAtUs;
    this.beam = this.newBeam();
    this.start(options.onAtUs);
  }

  /** Its own clock at a true time, us since this boot. */
  clockAt(trueUs: number): BoxUs {
    const sinceUs = trueUs - this.bootedAtUs;
    return boxUs(Math.max(0, Math.round(sinceUs * (1 + this.options.skewPpm * 1e-6))));
  }

  /** True time at which something happens next if nothing comes in; `advance` to it. */
  nextDueUs(): number {
    const send = this.hasLine() ? Math.max(this.freeAtUs, this.nowUs) : Number.POSITIVE_INFINITY;
    const first = this.planned.reduce((least, p) => Math.min(least, p.atUs), send);
    return Math.min(first, this.heartbeatAtUs, this.ring.resendAtUs, this.beam.nextDueUs());
  }

  /** Lets time pass. @returns the lines that began to leave up to and including `toUs` */
  advance(toUs: number): readonly SentLine[] {
    for (let due = this.nextDueUs(); due <= toUs; due = this.nextDueUs()) {
      this.nowUs = Math.max(this.nowUs, due);
      this.turn(this.nowUs);
    }
    this.nowUs = Math.max(this.nowUs, toUs);
    const { out } = this;
    this.out = [];
    return out;
  }

  /** Bytes from the host whose first ':' comes in at `atUs`; time is let pass up to there first. */
  receive(bytes: Uint8Array, atUs: number): readonly SentLine[] {
    const before = this.advance(atUs);
    const decoded = decodeHost(this.decoder, bytes);
    this.decoder = decoded.state;
    this.badInput += decoded.faults.length;
    let endUs = atUs;
    for (const { raw, message } of decoded.messages) {
      const arrivedUs = endUs;
      endUs += (raw.length + 1) * BYTE_US;
      this.plan(Math.ceil(endUs + THINK_US), (nowUs) => {
        this.obey(message, arrivedUs, nowUs);
      });
    }
    return before;
  }

  /** Something passes the beam at a true time to come: blocked `pulses` times within `durationUs`. */
  trip(atUs: number, shape: { readonly durationUs: number; readonly pulses: number }): void {
    this.planned.push({
      atUs,
      run: (nowUs) => {
        this.beam.block(nowUs, shape.pulses, this.blockUs);
      },
    });
    this.planned.push({
      atUs: atUs + shape.durationUs,
      run: (nowUs) => {
        this.beam.clear(nowUs, this.rearmUs);
      },
    });
  }

  /** The button is pressed at a true time to come. */
  press(atUs: number): void {
    this.planned.push({
      atUs,
      run: () => {
        this.add("M", atUs, 0, null);
      },
    });
  }

  /** A transponder is read at a true time to come. */
  readTag(atUs: number, tag: string): void {
    this.planned.push({
      atUs,
      run: () => {
        this.add("T", atUs, 0, tag);
      },
    });
  }

  /** Reset now: boot number one higher, clock at zero, what was not acknowledged is lost. */
  reset(): void {
    this.boot = (this.boot + 1) & 0xffff;
    this.bootedAtUs = this.nowUs;
    this.ring = new EventRing();
    this.decoder = decoderStart;
    this.badInput = 0;
    this.urgent = [];
    const { isBlocked } = this.beam;
    this.beam = this.newBeam();
    if (isBlocked) this.beam.startBlocked(this.nowUs);
    this.start(this.nowUs);
  }

  /** Events not yet acknowledged. */
  get waiting(): number {
    return this.ring.nextSeq - this.ring.oldestSeq;
  }

  private start(nowUs: number): void {
    this.urgent.push(() => this.hello());
    this.planNextHeartbeat(nowUs);
  }

  private newBeam(): Beam {
    return new Beam((kind, atUs, pulses) => {
      this.add(kind, atUs, pulses, null);
    });
  }

  private planNextHeartbeat(nowUs: number): void {
    const every = this.options.heartbeatUs ?? 2_000_000;
    this.heartbeatAtUs = nowUs + Math.round(every * (0.8 + 0.4 * this.random()));
  }

  /** Something for this boot only: a reset forgets it. */
  private plan(atUs: number, run: (nowUs: number) => void): void {
    const { boot } = this;
    this.planned.push({
      atUs,
      run: (nowUs) => {
        if (this.boot === boot) run(nowUs);
      },
    });
  }

  private turn(nowUs: number): void {
    const due = this.planned.filter((p) => p.atUs <= nowUs).sort((a, b) => a.atUs - b.atUs);
    this.planned = this.planned.filter((p) => p.atUs > nowUs);
    for (const { run } of due) run(nowUs);
    this.beam.advance(nowUs, this.rearmUs);
    if (this.ring.resendAtUs <= nowUs) this.ring.resend(nowUs);
    if (this.heartbeatAtUs <= nowUs) {
      this.urgent.push(() => this.heartbeat());
      this.planNextHeartbeat(nowUs);
    }
    if (this.hasLine() && this.freeAtUs <= nowUs) this.send(nowUs);
  }

  private hasLine(): boolean {
    return this.urgent.length > 0 || this.ring.hasTurn;
  }

  private send(nowUs: number): void {
    const message = this.urgent.shift()?.() ?? this.ring.take(nowUs);
    if (message === undefined) return;
    const bytes = lineBytes(encodeBoxLine(message));
    this.out.push({ atUs: nowUs, bytes });
    this.freeAtUs = nowUs + Math.ceil(bytes.length * BYTE_US) + (this.options.quietUs ?? 0);
  }

  private add(kind: EventKind, trueUs: number, aux: number, tag: string | null): void {
    if (this.ring.isFull) this.reset();
    const atUs = this.clockAt(trueUs);
    const { role } = this;
    this.ring.add({ type: "event", ...this.from(), role, kind, atUs, aux, tag, ...this.health() });
  }

  private from() {
    return { box: this.id, boot: this.boot };
  }

  private health() {
    const hoursOn = (this.nowUs - this.options.onAtUs) / 3600e6;
    const batteryMv = Math.max(3200, Math.round(4100 - 60 * hoursOn));
    return { batteryMv, beamPercent: 97 + Math.floor(this.random() * 4) };
  }

  private held() {
    return { oldestSeq: this.ring.oldestSeq, nextSeq: this.ring.nextSeq };
  }

  private hello(): BoxMessage {
    const { role } = this;
    const nowUs = this.clockAt(this.nowUs);
    const fixed = { firmware: "1.0.0", resolutionNs: 500 };
    return { type: "boot", ...this.from(), role, nowUs, ...this.held(), ...fixed };
  }

  private heartbeat(): BoxMessage {
    const nowUs = this.clockAt(this.nowUs);
    const counters = {
      glitches: this.beam.glitches & 0xffff,
      overwritten: this.ring.overwritten & 0xffff,
      badInput: this.badInput & 0xffff,
    };
    return {
      type: "heartbeat",
      ...this.from(),
      nowUs,
      ...this.held(),
      ...this.health(),
      ...counters,
    };
  }

  private obey(message: HostMessage, arrivedUs: number, nowUs: number): void {
    if (message.box !== this.id && !(message.type === "identify" && message.box === "?")) return;
    switch (message.type) {
      case "identify":
        this.plan(nowUs + Math.round(this.random() * 300_000), () => {
          this.urgent.push(() => this.hello());
          this.ring.startOver();
        });
        return;
      case "query": {
        const { token, t1Us } = message;
        const t2Us = this.clockAt(arrivedUs);
        this.urgent.unshift(() => {
          const t3Us = this.clockAt(this.nowUs);
          return { type: "reply", ...this.from(), token, t1Us, t2Us, t3Us };
        });
        return;
      }
      case "acknowledge":
        if (message.boot === this.boot) this.ring.acknowledge(message.seq, nowUs);
        return;
      case "resend": {
        const gone = message.boot === this.boot ? this.ring.goBack(message.seq) : undefined;
        if (gone !== undefined) this.urgent.push(() => ({ type: "gone", ...this.from(), ...gone }));
        return;
      }
      case "rename":
        this.id = message.newBox;
        this.role = message.newRole;
        this.urgent.push(() => this.hello());
        return;
      case "set":
        if (message.name === "block_us") this.blockUs = message.value;
        else this.rearmUs = message.value;
        this.urgent.push(() => this.hello());
        return;
      default:
        assertNever(message);
    }
  }
}
