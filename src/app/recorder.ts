// Bytes to journal: every line that reaches a port is decoded, committed, and only then acknowledged.
// One recorder a file; the console runs one inside itself, `record` runs one alone.
import { UserError } from "../domain/errors.ts";
import type { ForeignLine } from "../domain/foreign-line.ts";
import { type HostUs, hostUs } from "../domain/time.ts";
import type { Content } from "../journal/content.ts";
import { type Decoded, decode, decoderStart } from "../protocol/decode.ts";
import { encodeHostLine, lineBytes } from "../protocol/encode.ts";
import { describeFault } from "../protocol/fault.ts";
import type { BoxMessage } from "../protocol/message.ts";
import {
  acksDue,
  type Outgoing,
  overdue,
  portClosed,
  queriesDue,
  type ReceiverState,
  rebuildReceiver,
  receive,
  receiverStart,
} from "../protocol/receiver.ts";
import { heldOf } from "../session/held.ts";
import { cutLines } from "./cut-lines.ts";
import { ForeignPort } from "./foreign-port.ts";
import { foreignRows, nextBoot, resolutionWords } from "./foreign-rows.ts";
import { LineRows } from "./line-rows.ts";
import type { AppClock, ByteSource, Holder, Scheduler } from "./needs.ts";
import { RecorderNotices } from "./recorder-notices.ts";
import type { Author, Fresh, SessionFile } from "./session-file.ts";

export interface RecorderParts {
  readonly file: SessionFile;
  /** Each with a name of its own. */
  readonly sources: readonly ByteSource[];
  /** Sources that do not speak our protocol, by name, with the lines that they print. */
  readonly foreign?: ReadonlyMap<string, ForeignLine>;
  readonly clock: AppClock;
  readonly scheduler: Scheduler;
  readonly pid: number;
  /** A sentence for the screen; the same one is not said twice in a row. */
  readonly notice: (text: string) => void;
}

const LEASE_EVERY_MS = 1000;
const TICK_MS = 100;
const FIRST_ANSWER_MS = 5000;
/**
 * chosen: a loose plug on a full disk, the newest tell how the ports are now; and passings of receivers
 * that send nothing twice, a day of them.
 */
const OWED_MAX = 2000;
/** A lease this old may be somebody else's by now (the laptop slept): asked before anything is taken. */
const DOUBTFUL_US = 3_000_000;

/**
 * What holds: an event is acknowledged only when it is on the disk; whatever could not be written was
 * not acknowledged, and the box sends it again.
 */
export class Recorder {
  private readonly parts: RecorderParts;
  private readonly author: Author;
  private readonly mine: Holder;
  private receiver: ReceiverState = receiverStart;
  private readonly decoders = new Map<string, Decoded["state"]>();
  /** Ports on which something readable came since they were opened. */
  private readonly heard = new Set<string>();
  /** By port. */
  private readonly foreign = new Map<string, ForeignPort>();
  /** Waits for a first answer, by port. */
  private readonly waits = new Map<string, () => void>();
  private readonly notices: RecorderNotices;
  private readonly rows: LineRows;
  /** Run of the laptop's clock; a new one after a sleep, if the clock can tell. */
  private host: string;
  private stops: (() => void)[] = [];
  /** What could not be written yet and is not sent again: without it a port would look shut for ever. */
  private owed: readonly Fresh[] = [];
  /** Wall clock at the last renewal of the lease. */
  private renewedAtUs = 0;
  private isFailing = false;
  private isStopped = false;
  /** Resends of events that were here already; they are acknowledged again, not kept again. */
  duplicates = 0;

  constructor(parts: RecorderParts) {
    this.parts = parts;
    this.author = { who: "box", writer: `recorder-${String(parts.pid)}` };
    this.mine = { host: parts.clock.host, pid: parts.pid };
    this.host = parts.clock.host;
    this.notices = new RecorderNotices(parts.notice);
    this.rows = new LineRows(parts.sources.map((source) => source.name).join(" "));
  }

  /** Lines that could not be read or do not count, beyond those that were kept. */
  get droppedFaults(): number {
    return this.rows.leftOutInAll;
  }

  /** False once stopped or taken over. */
  get isRecording(): boolean {
    return !this.isStopped;
  }

  /**
   * @throws {UserError} `in-use` if another process records into this file; whatever keeps the file
   *   from being written
   */
  start(): void {
    const { file, sources, scheduler, clock, pid } = this.parts;
    const holder = file.store.takeLease(this.mine, clock.atUs());
    if (holder !== null) {
      throw new UserError(
        "in-use",
        `${file.store.file} is being recorded by another program (process ${String(holder.pid)})`,
        "stop that one first, or open a console or board without --port: it attaches to the file",
      );
    }
    this.renewedAtUs = clock.atUs();
    try {
      file.append(this.author, () => [
        { type: "recorder-started", body: { ports: sources.map((s) => s.name), pid } },
      ]);
    } catch (error) {
      file.store.releaseLease(this.mine);
      throw error;
    }
    // With the lease in hand: whatever an earlier recorder wrote last is in the fold now.
    this.receiver = rebuildReceiver(heldOf(file.folded()));
    for (const [port, line] of this.parts.foreign ?? []) {
      this.foreign.set(port, new ForeignPort(port, line, nextBoot(file.folded(), line)));
      const words = resolutionWords(line);
      if (words !== null) this.notices.say(words);
    }
    this.stops = [
      scheduler.every(LEASE_EVERY_MS, () => {
        this.renewLease();
      }),
      scheduler.every(TICK_MS, () => {
        this.tick();
      }),
    ];
    for (const source of sources) this.open(source);
  }

  /** Nothing more is taken in; what is not yet acknowledged waits in the boxes. */
  async stop(reason: string): Promise<void> {
    if (this.stops.length === 0) return; // never started: the file may be another recorder's
    await this.end(() => {
      const left = this.rows.leftOut(this.parts.clock.monoUs(), true);
      this.write([...left, { type: "recorder-stopped", body: { reason } }]);
    });
  }

  private open(source: ByteSource): void {
    const port = source.name;
    source.open({
      bytes: (bytes, at) => {
        this.take(port, bytes, at);
      },
      opened: () => {
        this.notices.forgetLast();
        this.writeOfPort({ type: "port-opened", body: { port } });
        this.decoders.set(port, decoderStart);
        this.heard.delete(port);
        this.foreign.get(port)?.opened();
        this.askWhoIsThere(port);
      },
      lost: (reason, hint) => {
        this.waits.get(port)?.();
        this.receiver = portClosed(this.receiver, port);
        this.writeOfPort({ type: "port-lost", body: { port, reason } });
        this.notices.say(`${reason}: ${hint}`);
      },
    });
  }

  private askWhoIsThere(port: string): void {
    // It would not understand, and prints when something passes.
    if (this.foreign.has(port)) return;
    this.send([{ port, message: { type: "identify", box: "?" } }]);
    this.waits.get(port)?.();
    const wait = this.parts.scheduler.after(FIRST_ANSWER_MS, () => {
      if (this.heard.has(port) || this.isStopped) return;
      this.notices.say(
        `no box has answered on ${port} for 5 s: check the cable and the box's battery${this.otherLines(port)}`,
      );
    });
    this.waits.set(port, wait);
  }

  /** What to give if the receiver on a silent port is one of those that the sheet describes. */
  private otherLines(port: string): string {
    const names = this.parts.file.session().lines.map((line) => `--port ${port}=${line.name}`);
    if (names.length === 0) return "";
    return `; if it is a receiver whose lines the sheet describes, start again with ${names.join(" or ")}`;
  }

  /** One chunk of bytes: one transaction, then the acknowledgements. */
  private take(port: string, bytes: Uint8Array, at: HostUs): void {
    if (Math.abs(this.parts.clock.atUs() - this.renewedAtUs) > DOUBTFUL_US) this.renewLease();
    if (this.isStopped) return;
    const foreign = this.foreign.get(port);
    if (foreign === undefined) this.takeOurs(port, bytes, at);
    else this.takeForeign(port, foreign, bytes, at);
  }

  /** Nothing is sent twice by such a receiver: what cannot be written now is owed. */
  private takeForeign(port: string, foreign: ForeignPort, bytes: Uint8Array, at: HostUs): void {
    const { file, clock } = this.parts;
    const { gates } = file.session();
    const passings: Fresh[] = [];
    const others: Fresh[] = [...this.rows.leftOut(at, false)];
    for (const heard of foreign.take(bytes, at, clock.host)) {
      const { read } = heard;
      const rows = read.ok ? foreignRows(port, foreign.line, gates, heard, read.value) : [];
      passings.push(...rows);
      if (rows.length === 0) {
        const fault = read.ok
          ? `gate "${read.value.gate}" stands for no box (lines ${foreign.line.name})`
          : read.error;
        others.push(...this.rows.ofUnread(port, heard.shown, fault, at));
      }
      if (heard.notice !== null) this.notices.say(heard.notice);
    }
    if (!this.write([...others, ...passings])) {
      this.owed = [...this.owed, ...passings].slice(-OWED_MAX);
    }
    if (passings.length > 0) this.notices.mindClosed(file.session());
  }

  private takeOurs(port: string, bytes: Uint8Array, at: HostUs): void {
    let receiver = this.receiver;
    const fresh: Fresh[] = [...this.rows.leftOut(at, false)];
    const toSend: Outgoing[] = [];
    const notices: string[] = [];
    const heard: BoxMessage[] = [];
    let duplicates = 0;
    for (const piece of cutLines(bytes)) {
      const decoded = decode(this.decoders.get(port) ?? decoderStart, piece, at);
      this.decoders.set(port, decoded.state);
      for (const fault of decoded.faults) {
        if (fault.reason === "unknown-version") notices.push(describeFault(fault));
        fresh.push(...this.rows.ofFault(port, fault, at));
      }
      for (const line of decoded.messages) {
        const { message } = line;
        this.heard.add(port);
        const receipt = receive(receiver, port, message, line.at);
        receiver = receipt.state;
        toSend.push(...receipt.toSend);
        notices.push(...receipt.notices);
        if (!receipt.refused) heard.push(message);
        if (message.type === "event" && !receipt.fresh && !receipt.refused) duplicates += 1;
        else fresh.push(...this.rows.ofLine(port, line, receipt));
      }
    }
    // Not on the disk: the boxes are told nothing and will send it again.
    if (!this.write(fresh)) return;
    this.duplicates += duplicates;
    const acks = acksDue(receiver);
    this.receiver = acks.state;
    this.send([...acks.toSend, ...toSend]);
    for (const notice of notices) this.notices.say(notice);
    const session = this.parts.file.session();
    for (const message of heard) this.notices.mindPlace(session, message);
    if (heard.some(({ type }) => type === "event")) this.notices.mindClosed(session);
  }

  private tick(): void {
    const { clock, sources } = this.parts;
    const now = clock.monoUs();
    if (clock.host !== this.host) {
      // The laptop slept: its clock says nothing of the time before, the boxes' are asked afresh.
      this.host = clock.host;
      for (const { name } of sources) {
        this.receiver = portClosed(this.receiver, name);
        this.askWhoIsThere(name);
      }
    }
    // Questions first: behind another line they would leave later than their t1 says.
    const asked = queriesDue(this.receiver, now);
    this.send(asked.toSend);
    const late = overdue(asked.state, now);
    this.receiver = late.state;
    this.send(late.toSend);
  }

  private renewLease(): void {
    const { file, clock } = this.parts;
    const nowUs = clock.atUs();
    const holder = this.attempt(() => file.store.takeLease(this.mine, nowUs));
    if (holder === undefined) return;
    this.renewedAtUs = nowUs;
    if (holder === null) {
      this.write([]);
      return;
    }
    const text = `process ${String(holder.pid)} has taken over recording into this file`;
    this.notices.say(`${text}: nothing more is recorded here`);
    // Its only waiting is for the ports to close. The file is the other one's: no row says that the
    // recording ended, for it goes on.
    void this.end(() => undefined);
  }

  private async end(lastWords: () => void): Promise<void> {
    if (this.isStopped) return;
    this.isStopped = true;
    for (const stop of [...this.stops, ...this.waits.values()]) stop();
    try {
      await Promise.all(this.parts.sources.map((source) => source.close()));
    } finally {
      lastWords();
      this.attempt(() => {
        this.parts.file.store.releaseLease(this.mine);
      });
    }
  }

  private send(outgoing: readonly Outgoing[]): void {
    for (const { port, message } of outgoing) {
      const source = this.parts.sources.find((candidate) => candidate.name === port);
      // A clock question leaves now, whenever it was decided to ask it.
      const t1Us = hostUs(Math.round(this.parts.clock.monoUs()));
      const leaving = message.type === "query" ? { ...message, t1Us } : message;
      source?.write(lineBytes(encodeHostLine(leaving)));
    }
  }

  private writeOfPort(content: Content): void {
    const happened = { ...content, monoUs: this.parts.clock.monoUs() };
    if (this.write([happened])) return;
    this.owed = [...this.owed, happened].slice(-OWED_MAX);
  }

  /** @returns true if it is on the disk, and with it whatever was owed */
  private write(entries: readonly Fresh[]): boolean {
    const all = [...this.owed, ...entries];
    if (all.length === 0) return true;
    if (this.attempt(() => this.parts.file.append(this.author, () => all)) !== undefined) {
      this.owed = [];
      if (this.isFailing) this.notices.say(`${this.parts.file.store.file} can be written again`);
      this.isFailing = false;
      return true;
    }
    this.isFailing = true;
    this.rows.forget();
    return false;
  }

  /** A failure of the disk is a state to show; recording goes on as soon as it can. */
  private attempt<T>(work: () => T): T | undefined {
    try {
      return work();
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      this.notices.say(`${error.message}: ${error.hint}`);
      return undefined;
    }
  }
}
