// An invented day for the tests of app: its sheet, a laptop whose time stands still, a box at a port.
import { join } from "node:path";
import { onTestFinished } from "vitest";
import { fixPlan } from "../../src/advisor/fix-plan.ts";
import { sessionEntries } from "../../src/app/make-session.ts";
import type { ByteSource, ByteSourceEvents } from "../../src/app/needs.ts";
import { Recorder } from "../../src/app/recorder.ts";
import { type Author, SessionFile } from "../../src/app/session-file.ts";
import { VirtualTime, virtualClock } from "../../src/cli/virtual-time.ts";
import type { Sheet } from "../../src/domain/session.ts";
import { boxUs, type HostUs, hostUs } from "../../src/domain/time.ts";
import type { EntryType } from "../../src/journal/content.ts";
import type { Entry } from "../../src/journal/entry.ts";
import { decodeHost, decoderStart } from "../../src/protocol/decode.ts";
import { encodeBoxLine, lineBytes } from "../../src/protocol/encode.ts";
import type { BoxMessage, BoxRole, EventKind, HostMessage } from "../../src/protocol/message.ts";
import { readSheet } from "../../src/sheet/session-sheet.ts";
import { SessionStore } from "../../src/store/session-store.ts";
import { emptyFolder } from "../store/on-disk.ts";

const TOML = `
[session]
name = "Rear tyre insert, lantern bank"
date = 2026-05-09
zone = "Europe/Vienna"
stretch = "Lantern bank, invented"
expected_run_s = 60
margin_s = 0.8
planned_runs = 12
seed = 7
[[gates]]
role = "start"
box = "S1"
[[gates]]
role = "split"
box = "P1"
sector = "Roots"
[[gates]]
role = "finish"
box = "F1"
sector = "Gully"
[[riders]]
id = "R1"
name = "Rider one"
tag = "A1"
[[riders]]
id = "R2"
name = "Rider two"
tag = "B2"
[[setups]]
id = "A"
name = "No insert"
baseline = true
[setups.values]
rear_insert = "none"
[[setups]]
id = "B"
name = "Foam insert"
from = "A"
[setups.values]
rear_insert = "foam"
`;

export const sheet: Sheet = readSheet(TOML, "day.toml", {
  zone: "UTC",
  date: "2026-05-09",
  seed: 7,
});

/** The same stretch, timed by the keys. */
export const handSheet: Sheet = {
  ...sheet,
  gates: sheet.gates.map((gate) => ({ ...gate, box: null })),
};

/** One rider's day, timed by the keys. */
export const aloneSheet: Sheet = { ...handSheet, riders: handSheet.riders.slice(0, 1) };

export const operator: Author = { who: "operator", writer: "console-1" };
/** Wall clock at the laptop's monotonic zero. */
const ANCHOR_US = Date.UTC(2026, 4, 9, 8) * 1000;

/** What the laptop's monotonic clock says at first. */
const BOOT_US = 1_000e6;

/** So many seconds after that. */
export function mono(s: number): HostUs {
  return hostUs(BOOT_US + s * 1e6);
}

export class TestLaptop {
  readonly time = new VirtualTime(BOOT_US);
  readonly notices: string[] = [];
  readonly clock;

  constructor(host = "laptop-1") {
    // `host` can be changed: a laptop that slept has a new one.
    this.clock = { ...virtualClock(this.time, ANCHOR_US + BOOT_US, host), host };
  }

  pass(seconds: number): void {
    this.time.advanceTo(this.time.now() + seconds * 1e6);
  }

  /** A new session file made from a sheet. */
  make(of: Sheet = sheet, file = join(emptyFolder(), "day.swaplap")): SessionFile {
    const session = this.opened(SessionStore.create(file));
    session.append(operator, () => sessionEntries(of, fixPlan(of)));
    return session;
  }

  open(file: string, readOnly = false): SessionFile {
    return this.opened(SessionStore.open(file, { readOnly }));
  }

  private opened(store: SessionStore): SessionFile {
    const session = new SessionFile(store, this.clock);
    onTestFinished(() => {
      session.close();
    });
    return session;
  }

  recorder(file: SessionFile, sources: readonly ByteSource[], pid = process.pid): Recorder {
    return new Recorder({
      file,
      sources,
      clock: this.clock,
      scheduler: this.time,
      pid,
      notice: (text) => this.notices.push(text),
    });
  }
}

/** A port with bytes put in and lines taken out by the test. */
export class TestPort implements ByteSource {
  readonly name: string;
  readonly sent: HostMessage[] = [];
  /** Called for each line before it is noted. */
  onSent: (message: HostMessage) => void = () => undefined;
  isClosed = false;
  private readonly laptop: TestLaptop;
  private on: ByteSourceEvents | null = null;
  private state = decoderStart;

  constructor(laptop: TestLaptop, name = "/dev/ttyTEST0") {
    this.laptop = laptop;
    this.name = name;
  }

  open(on: ByteSourceEvents): void {
    this.on = on;
    on.opened();
  }

  write(bytes: Uint8Array): void {
    const decoded = decodeHost(this.state, bytes);
    this.state = decoded.state;
    for (const { message } of decoded.messages) {
      this.onSent(message);
      this.sent.push(message);
    }
  }

  close(): Promise<void> {
    this.isClosed = true;
    this.on = null;
    return Promise.resolve();
  }

  bytes(bytes: Uint8Array): void {
    this.on?.bytes(bytes, this.laptop.time.now());
  }

  say(...messages: readonly BoxMessage[]): void {
    this.bytes(Buffer.concat(messages.map((message) => lineBytes(encodeBoxLine(message)))));
  }

  text(text: string): void {
    this.bytes(Buffer.from(text, "latin1"));
  }

  lose(): void {
    this.on?.lost(`${this.name} is gone`, "put the cable back in");
  }

  reopen(): void {
    this.on?.opened();
  }

  /** Lines sent since the last time, of one type or of all. */
  taken(type?: HostMessage["type"]): readonly HostMessage[] {
    const all = this.sent.splice(0);
    return type === undefined ? all : all.filter((message) => message.type === type);
  }
}

/** A box whose clock is the laptop's plus so many seconds, without skew. */
export class TestBox {
  seq = 0;
  boot: number;
  readonly id: string;
  readonly role: BoxRole;
  private readonly laptop: TestLaptop;
  private readonly aheadS: number;

  constructor(laptop: TestLaptop, id: string, role: BoxRole, aheadS = 500, boot = 18) {
    this.laptop = laptop;
    this.id = id;
    this.role = role;
    this.aheadS = aheadS;
    this.boot = boot;
  }

  now(): ReturnType<typeof boxUs> {
    return boxUs(Math.round(this.laptop.time.now() + this.aheadS * 1e6));
  }

  hello(oldestSeq = this.seq + 1): BoxMessage {
    return {
      ...{ type: "boot", box: this.id, boot: this.boot, role: this.role, nowUs: this.now() },
      ...{ oldestSeq, nextSeq: this.seq + 1, firmware: "1.0.0", resolutionNs: 500 },
    };
  }

  event(kind: EventKind = "B", aux = 0): BoxMessage {
    this.seq += 1;
    return {
      ...{ type: "event", box: this.id, boot: this.boot, seq: this.seq, role: this.role, kind },
      ...{ atUs: this.now(), aux, tag: null, batteryMv: 3760, beamPercent: 98 },
    };
  }

  heartbeat(
    changed: { batteryMv?: number; oldestSeq?: number; nextSeq?: number } = {},
  ): BoxMessage {
    return {
      ...{ type: "heartbeat", box: this.id, boot: this.boot, nowUs: this.now() },
      ...{ oldestSeq: this.seq + 1, nextSeq: this.seq + 1, batteryMv: 3760, beamPercent: 98 },
      ...{ glitches: 0, overwritten: 0, badInput: 0 },
      ...changed,
    };
  }

  /** The answer to a clock question, both ways taking 2 ms, once 4 ms have passed. */
  answer(question: HostMessage): BoxMessage {
    if (question.type !== "query") throw new TypeError("not a question");
    const at = boxUs(question.t1Us + this.aheadS * 1e6 + 2000);
    const { token, t1Us } = question;
    return { type: "reply", box: this.id, boot: this.boot, token, t1Us, t2Us: at, t3Us: at };
  }
}

/** Entries of one type, in order. */
export function ofType<T extends EntryType>(
  file: SessionFile,
  type: T,
): readonly Extract<Entry, { type: T }>[] {
  return file.store
    .readSince(0)
    .filter((entry): entry is Extract<Entry, { type: T }> => entry.type === type);
}
