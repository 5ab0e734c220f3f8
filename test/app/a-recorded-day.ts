// A day for the tests of the app: a real session file on disk, a recorder, and a wire that the test
// speaks into. Time stands still until the test moves it.
import { join } from "node:path";
import { onTestFinished } from "vitest";
import { fixPlan } from "../../src/advisor/fix-plan.ts";
import { sessionEntries } from "../../src/app/make-session.ts";
import type { AppClock, ByteSource, ByteSourceEvents, JournalStore } from "../../src/app/needs.ts";
import { Recorder } from "../../src/app/recorder.ts";
import { type Author, SessionFile } from "../../src/app/session-file.ts";
import { VirtualTime, virtualClock } from "../../src/cli/virtual-time.ts";
import type { Sheet } from "../../src/domain/session.ts";
import { boxUs, type HostUs, hostUs } from "../../src/domain/time.ts";
import type { Content } from "../../src/journal/content.ts";
import { decodeHost, decoderStart } from "../../src/protocol/decode.ts";
import { encodeBoxLine, lineBytes } from "../../src/protocol/encode.ts";
import type { BoxMessage, BoxRole, EventKind, HostMessage } from "../../src/protocol/message.ts";
import { SessionStore } from "../../src/store/session-store.ts";
import { emptyFolder } from "../store/on-disk.ts";

export const OPERATOR: Author = { who: "operator", writer: "test" };

/** Wall clock at which the invented laptop's day begins. */
const DAY_US = Date.UTC(2026, 4, 9, 8) * 1000;
/** What the laptop's monotonic clock says then. */
const BOOT_US = 1_000_000_000;

const sheet: Sheet = {
  settings: {
    name: "Rear tyre insert, upper woods",
    date: "2026-05-09",
    zone: "Europe/Vienna",
    stretch: "Upper woods",
    expectedRunS: 60,
    lengthM: null,
    dropM: null,
    marginS: null,
    plannedRuns: 12,
    minutes: null,
    lapMinutes: null,
    spreadS: null,
    drift: "linear",
    bands: "plan",
    spreads: "each",
    confidence: 0.95,
    seed: 7,
    travelMinS: 30,
    travelMaxS: 180,
  },
  gates: [
    { role: "start", box: "S1", sector: null, terrain: null },
    { role: "split", box: "P1", sector: "Roots", terrain: null },
    { role: "finish", box: "F1", sector: "Gully", terrain: null },
  ],
  riders: [
    { id: "R1", name: "Rider one", tag: "A1", newTo: [] },
    { id: "R2", name: "Rider two", tag: "B2", newTo: [] },
  ],
  setups: [
    { id: "A", name: "No insert", baseline: true, values: { rear_insert: "none" } },
    { id: "B", name: "Insert", baseline: false, values: { rear_insert: "foam" } },
  ],
  swaps: [{ from: "A", to: "B", minutes: 12 }],
};

/** The same stretch, timed by the keys. */
export const handSheet: Sheet = {
  ...sheet,
  gates: sheet.gates.map((gate) => ({ ...gate, box: null })),
};

/** A serial cable of which the test holds the other end. */
class Wire implements ByteSource {
  readonly name: string;
  /** What the recorder has sent since it was last looked at. */
  private sent: HostMessage[] = [];
  private on: ByteSourceEvents | undefined;

  constructor(name = "/dev/gates") {
    this.name = name;
  }

  open(on: ByteSourceEvents): void {
    this.on = on;
    on.opened();
  }

  write(bytes: Uint8Array): void {
    this.sent.push(...decodeHost(decoderStart, bytes).messages.map(({ message }) => message));
  }

  close(): Promise<void> {
    this.on = undefined;
    return Promise.resolve();
  }

  plugIn(): void {
    this.on?.opened();
  }

  pull(): void {
    this.on?.lost(`${this.name} is gone`, "is the cable in?");
  }

  bytes(bytes: Uint8Array, at: HostUs): void {
    this.on?.bytes(bytes, at);
  }

  /** Everything sent since the last look. */
  takeSent(): readonly HostMessage[] {
    const { sent } = this;
    this.sent = [];
    return sent;
  }
}

/** Events that every box of the tests sends; the box's clock starts with the laptop's. */
export interface EventAt {
  readonly box?: string;
  readonly role?: BoxRole;
  readonly boot?: number;
  readonly kind?: EventKind;
  readonly tag?: string;
  /** Instant of the box's clock, s. */
  readonly atS: number;
}

export function event(seq: number, at: EventAt): BoxMessage {
  const { box = "S1", boot = 0x12, kind = "B", tag, atS } = at;
  const role = at.role ?? (box === "F1" ? "F" : box === "P1" ? "P1" : "S");
  return {
    type: "event",
    box,
    boot,
    seq,
    role,
    kind,
    atUs: boxUs(Math.round(atS * 1e6)),
    aux: 0,
    tag: tag ?? null,
    batteryMv: 3760,
    beamPercent: 98,
  };
}

export function hello(box: string, oldestSeq: number, nextSeq: number, boot = 0x12): BoxMessage {
  const role = box === "F1" ? "F" : box === "P1" ? "P1" : "S";
  const nowUs = boxUs(1_000_000);
  const about = { firmware: "1.0.0", resolutionNs: 500 };
  return { type: "boot", box, boot, role, nowUs, oldestSeq, nextSeq, ...about };
}

export function beat(box: string, nowS: number, oldestSeq: number, nextSeq: number): BoxMessage {
  const counts = { batteryMv: 3760, beamPercent: 98, glitches: 0, overwritten: 0, badInput: 0 };
  const nowUs = boxUs(Math.round(nowS * 1e6));
  return { type: "heartbeat", box, boot: 0x12, nowUs, oldestSeq, nextSeq, ...counts };
}

export function bytesOf(...messages: readonly BoxMessage[]): Uint8Array {
  return Buffer.concat(messages.map((message) => lineBytes(encodeBoxLine(message))));
}

export interface DayOptions {
  readonly sheet?: Sheet;
  readonly time?: VirtualTime;
  /** Names one boot of the laptop. */
  readonly host?: string;
}

/** One process that has the file open. */
export class Day {
  readonly time: VirtualTime;
  readonly clock: AppClock;
  readonly store: JournalStore;
  readonly file: SessionFile;
  readonly wire = new Wire();
  readonly notices: string[] = [];
  readonly recorder: Recorder;

  constructor(path: string, options: DayOptions = {}) {
    this.time = options.time ?? new VirtualTime(BOOT_US);
    const wallUs = DAY_US + (this.time.now() - BOOT_US);
    this.clock = virtualClock(this.time, wallUs, options.host ?? "laptop-1");
    this.store = SessionStore.open(path, { readOnly: false });
    this.file = new SessionFile(this.store, this.clock);
    onTestFinished(() => {
      this.file.close();
    });
    this.recorder = new Recorder({
      file: this.file,
      sources: [this.wire],
      clock: this.clock,
      scheduler: this.time,
      pid: process.pid,
      notice: (text) => this.notices.push(text),
    });
  }

  get path(): string {
    return this.store.file;
  }

  /** Messages come in as one chunk, now. */
  hear(...messages: readonly BoxMessage[]): void {
    this.wire.bytes(bytesOf(...messages), this.time.now());
  }

  /** Time goes on by `s`. */
  pass(s: number): void {
    this.time.advanceTo(this.time.now() + s * 1e6);
  }

  /** s of the laptop's monotonic clock since the day began. */
  get nowS(): number {
    return (this.time.now() - BOOT_US) / 1e6;
  }

  act(...contents: readonly Content[]): void {
    this.file.append(OPERATOR, () => contents);
  }

  /** What the journal says, without stamps. */
  contents(): readonly Content[] {
    return this.store.readSince(0).map(({ type, body }) => ({ type, body }) as Content);
  }

  /** Box, boot and number of each event in the journal that counts. */
  events(): readonly string[] {
    return this.contents().flatMap((content) => {
      if (content.type !== "line-received" || content.body.fault !== null) return [];
      const { decoded } = content.body;
      if (decoded?.["type"] !== "event") return [];
      return `${String(decoded["box"])}:${String(decoded["boot"])}:${String(decoded["seq"])}`;
    });
  }

  acks(): readonly number[] {
    return this.wire.takeSent().flatMap((m) => (m.type === "acknowledge" ? m.seq : []));
  }
}

/** A new session file from a sheet. @returns its path */
export function newSessionFile(from: Sheet = sheet): string {
  const path = join(emptyFolder(), "day.swaplap");
  const time = new VirtualTime(BOOT_US);
  const file = new SessionFile(SessionStore.create(path), virtualClock(time, DAY_US, "laptop-1"));
  file.append(OPERATOR, () => sessionEntries(from, fixPlan(from)));
  file.close();
  return path;
}

/** An instant of the day on the laptop's monotonic clock. */
export function mono(s: number): HostUs {
  return hostUs(BOOT_US + s * 1e6);
}
