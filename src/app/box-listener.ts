// Listens to one port and says each line in words; nothing is kept. Used by `listen`.
import { assertNever } from "../domain/errors.ts";
import { decode, decoderStart } from "../protocol/decode.ts";
import { encodeHostLine, lineBytes } from "../protocol/encode.ts";
import { describeFault } from "../protocol/fault.ts";
import type { BoxMessage, EventKind } from "../protocol/message.ts";
import type { ListenerVoice } from "./line-listener.ts";
import type { ByteSource, Scheduler } from "./needs.ts";

/** As the recorder waits. */
const FIRST_ANSWER_MS = 5000;

export class BoxListener {
  private readonly source: ByteSource;
  private readonly scheduler: Scheduler;
  private readonly voice: ListenerVoice;
  /** Newest event said of each boot of a box. */
  private readonly shown = new Map<string, number>();
  /** What each boot of a box says that it holds. */
  private readonly held = new Map<string, { readonly oldest: number; readonly next: number }>();
  private state = decoderStart;
  private stopWaiting: () => void = () => undefined;

  constructor(source: ByteSource, scheduler: Scheduler, voice: ListenerVoice) {
    this.source = source;
    this.scheduler = scheduler;
    this.voice = voice;
  }

  start(): void {
    this.source.open({
      bytes: (bytes, at) => {
        const decoded = decode(this.state, bytes, at);
        this.state = decoded.state;
        if (decoded.messages.length > 0) this.stopWaiting();
        for (const { message } of decoded.messages) this.say(message);
        for (const fault of decoded.faults) {
          this.voice.print(`unreadable: ${describeFault(fault)}: ${fault.raw}`);
        }
      },
      opened: () => {
        const { name } = this.source;
        this.voice.tell(`${name} is open; asking who is there; Ctrl-C ends it`);
        this.source.write(lineBytes(encodeHostLine({ type: "identify", box: "?" })));
        this.stopWaiting();
        this.stopWaiting = this.scheduler.after(FIRST_ANSWER_MS, () => {
          this.voice.tell(
            `no box has answered on ${name} for 5 s: check the cable and the box's battery; a receiver with lines of its own: --sheet SHEET.toml --lines NAME`,
          );
        });
      },
      lost: (reason, hint) => {
        this.stopWaiting();
        this.voice.tell(`${reason}: ${hint}; trying again all the time, Ctrl-C ends it`);
      },
    });
  }

  /**
   * Nothing is acknowledged, so a box repeats its oldest event for ever: each is said once, and the next
   * one is asked for.
   */
  private say(message: BoxMessage): void {
    const key = `${message.box} ${String(message.boot)}`;
    const upTo = this.shown.get(key) ?? 0;
    if (message.type === "event") {
      if (message.seq <= upTo) return;
      this.shown.set(key, message.seq);
    }
    this.voice.print(inWords(message));
    if (message.type === "heartbeat" || message.type === "boot") {
      this.held.set(key, { oldest: message.oldestSeq, next: message.nextSeq });
    }
    const held = this.held.get(key);
    const seq = Math.max((this.shown.get(key) ?? 0) + 1, held?.oldest ?? 1);
    if (held === undefined || seq >= held.next || message.type === "reply") return;
    const { box, boot } = message;
    this.source.write(lineBytes(encodeHostLine({ type: "resend", box, boot, seq })));
  }

  stop(): Promise<void> {
    this.stopWaiting();
    return this.source.close();
  }
}

const KINDS: Readonly<Record<EventKind, string>> = {
  B: "beam broken",
  C: "clear again",
  T: "transponder",
  M: "button",
  X: "blocked for over 10 s",
  O: "beam back",
};

function inWords(message: BoxMessage): string {
  const who = `box ${message.box} (boot ${String(message.boot)})`;
  switch (message.type) {
    case "boot":
      return `${who}: here, role ${message.role}, firmware ${message.firmware}, holds ${String(message.nextSeq - message.oldestSeq)} events`;
    case "event": {
      const tag = message.tag === null ? "" : ` ${message.tag}`;
      return `${who}: ${String(message.seq)} ${KINDS[message.kind]}${tag} at ${(message.atUs / 1e6).toFixed(6)} s, battery ${(message.batteryMv / 1000).toFixed(2)} V, beam ${String(message.beamPercent)} %`;
    }
    case "heartbeat":
      return `${who}: well, battery ${(message.batteryMv / 1000).toFixed(2)} V, beam ${String(message.beamPercent)} %, ${String(message.glitches)} glitches`;
    case "reply":
      return `${who}: answered a clock question`;
    case "gone":
      return `${who}: no longer holds ${String(message.fromSeq)} to ${String(message.toSeq)}`;
    default:
      return assertNever(message);
  }
}
