// Bytes to journal: every line that reaches a port is decoded, committed, and only then acknowledged.
// One recorder a file; the console runs one inside itself, `record` runs one alone.
import { UserError } from "../domain/errors.ts";
import type { HostUs } from "../domain/time.ts";
import { type Decoded, decode, decoderStart } from "../protocol/decode.ts";
import { encodeHostLine, lineBytes } from "../protocol/encode.ts";
import { describeFault, type Fault } from "../protocol/fault.ts";
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
} from "../protocol/receiver.ts";
import { exchangeOf } from "../protocol/reply.ts";
import { heldOf } from "../session/held.ts";
import { HeartbeatThinner } from "./heartbeat-thinner.ts";
import type { AppClock, ByteSource, Holder, Scheduler } from "./needs.ts";
import type { Author, Fresh, SessionFile } from "./session-file.ts";

export interface RecorderParts {
  readonly file: SessionFile;
  readonly sources: readonly ByteSource[];
  readonly clock: AppClock;
  readonly scheduler: Scheduler;
  readonly pid: number;
  /** A sentence for the screen; the same one is not said twice in a row. */
  readonly notice: (text: string) => void;
}

const LEASE_EVERY_MS = 1000;
const TICK_MS = 100;
const FIRST_ANSWER_MS = 5000;
/** Unreadable lines kept in the journal in any one minute; the rest are counted only. */
const KEPT_FAULTS_A_MINUTE = 100;

export class Recorder {
  private readonly parts: RecorderParts;
  private readonly author: Author;
  private readonly mine: Holder;
  private receiver: ReceiverState;
  private readonly decoders = new Map<string, Decoded["state"]>();
  private readonly heard = new Set<string>();
  private readonly thinner = new HeartbeatThinner();
  private faultMinute = { beganUs: 0, kept: 0 };
  private stops: (() => void)[] = [];
  private lastNotice = "";
  private isStopped = false;
  /** Resends of events that were here already. */
  duplicates = 0;
  /** Unreadable lines beyond those kept in the journal. */
  droppedFaults = 0;

  constructor(parts: RecorderParts) {
    this.parts = parts;
    this.author = { who: "box", writer: `recorder-${String(parts.pid)}` };
    this.mine = { host: parts.clock.host, pid: parts.pid };
    this.receiver = rebuildReceiver(heldOf(parts.file.folded()));
  }

  /** @throws {UserError} `in-use` if another process records into this file */
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
    file.append(this.author, () => [
      { type: "recorder-started", body: { ports: sources.map((s) => s.name), pid } },
    ]);
    this.stops.push(
      scheduler.every(LEASE_EVERY_MS, () => {
        this.renewLease();
      }),
      scheduler.every(TICK_MS, () => {
        this.tick();
      }),
    );
    for (const source of sources) this.open(source);
  }

  async stop(reason: string): Promise<void> {
    if (this.isStopped) return;
    this.isStopped = true;
    for (const stop of this.stops) stop();
    await Promise.all(this.parts.sources.map((source) => source.close()));
    this.write([{ type: "recorder-stopped", body: { reason } }]);
    this.parts.file.store.releaseLease(this.mine);
  }

  private open(source: ByteSource): void {
    const port = source.name;
    source.open({
      bytes: (bytes, at) => {
        this.take(port, bytes, at);
      },
      opened: () => {
        this.write([{ type: "port-opened", body: { port } }]);
        this.decoders.set(port, decoderStart);
        this.send([{ port, message: { type: "identify", box: "?" } }]);
        this.heard.delete(port);
        this.stops.push(
          this.parts.scheduler.after(FIRST_ANSWER_MS, () => {
            if (this.heard.has(port) || this.isStopped) return;
            this.say(
              `no box has answered on ${port} for 5 s: check the cable and the box's battery`,
            );
          }),
        );
      },
      lost: (reason, hint) => {
        this.receiver = portClosed(this.receiver, port);
        this.write([{ type: "port-lost", body: { port, reason } }]);
        this.say(`${reason}: ${hint}`);
      },
    });
  }

  /** One chunk of bytes: one transaction, then the acknowledgements. */
  private take(port: string, bytes: Uint8Array, at: HostUs): void {
    if (this.isStopped) return;
    const decoded = decode(this.decoders.get(port) ?? decoderStart, bytes, at);
    this.decoders.set(port, decoded.state);
    let receiver = this.receiver;
    const fresh: Fresh[] = [];
    const toSend: Outgoing[] = [];
    const notices: string[] = [];
    let duplicates = 0;
    for (const { raw, message, at: lineAt } of decoded.messages) {
      this.heard.add(port);
      const receipt = receive(receiver, port, message, lineAt);
      receiver = receipt.state;
      toSend.push(...receipt.toSend);
      notices.push(...receipt.notices);
      if (message.type === "event" && !receipt.fresh && !receipt.refused) duplicates += 1;
      else fresh.push(...this.entriesOf(port, raw, message, lineAt, receipt));
    }
    fresh.push(...decoded.faults.flatMap((fault) => this.faultEntry(port, fault, at)));
    // Not committed: the boxes are told nothing and will send it again.
    if (!this.write(fresh)) return;
    this.receiver = receiver;
    this.duplicates += duplicates;
    const acks = acksDue(receiver);
    this.receiver = acks.state;
    this.send([...acks.toSend, ...toSend]);
    for (const notice of notices) this.say(notice);
  }

  private entriesOf(
    port: string,
    raw: string,
    message: BoxMessage,
    at: HostUs,
    receipt: { readonly refused: boolean; readonly notices: readonly string[] },
  ): readonly Fresh[] {
    if (message.type === "reply") {
      const exchange = exchangeOf(message, port, at);
      return exchange === undefined
        ? []
        : [{ type: "clock-exchanged", body: exchange, monoUs: at }];
    }
    if (message.type === "heartbeat" && !this.thinner.isWorthKeeping(message, at)) return [];
    const fault = receipt.refused ? (receipt.notices.at(-1) ?? "a box number used twice") : null;
    const decoded: Record<string, string | number | null> = { ...message };
    return [{ type: "line-received", body: { port, raw, decoded, fault }, monoUs: at }];
  }

  private faultEntry(port: string, fault: Fault, at: HostUs): readonly Fresh[] {
    if (at - this.faultMinute.beganUs > 60e6) this.faultMinute = { beganUs: at, kept: 0 };
    if (this.faultMinute.kept >= KEPT_FAULTS_A_MINUTE) {
      this.droppedFaults += 1;
      return [];
    }
    this.faultMinute.kept += 1;
    if (fault.reason === "unknown-version") this.say(describeFault(fault));
    const body = { port, raw: fault.raw, decoded: null, fault: describeFault(fault) };
    return [{ type: "line-received", body, monoUs: at }];
  }

  private tick(): void {
    const now = this.parts.clock.monoUs();
    const late = overdue(this.receiver, now);
    const asked = queriesDue(late.state, now);
    this.receiver = asked.state;
    this.send([...late.toSend, ...asked.toSend]);
  }

  private renewLease(): void {
    const holder = this.attempt(() =>
      this.parts.file.store.takeLease(this.mine, this.parts.clock.atUs()),
    );
    if (holder != null) {
      this.say(`process ${String(holder.pid)} has taken over recording into this file`);
    }
  }

  private send(outgoing: readonly Outgoing[]): void {
    for (const { port, message } of outgoing) {
      const source = this.parts.sources.find((candidate) => candidate.name === port);
      source?.write(lineBytes(encodeHostLine(message)));
    }
  }

  /** @returns true if it is on the disk */
  private write(entries: readonly Fresh[]): boolean {
    if (entries.length === 0) return true;
    return this.attempt(() => this.parts.file.append(this.author, () => entries)) !== undefined;
  }

  /** A failure of the disk is a state to show; recording goes on as soon as it can. */
  private attempt<T>(work: () => T): T | undefined {
    try {
      return work();
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      this.say(`${error.message}: ${error.hint}`);
      return undefined;
    }
  }

  private say(text: string): void {
    if (text === this.lastNotice) return;
    this.lastNotice = text;
    this.parts.notice(text);
  }
}
