// Listens to one port and says each line in words; nothing is kept. Used by `listen`.
import { assertNever } from "../domain/errors.ts";
import { decode, decoderStart } from "../protocol/decode.ts";
import { encodeHostLine, lineBytes } from "../protocol/encode.ts";
import { describeFault } from "../protocol/fault.ts";
import type { BoxMessage, EventKind } from "../protocol/message.ts";
import type { ByteSource } from "./needs.ts";

export class BoxListener {
  private readonly source: ByteSource;
  private readonly print: (line: string) => void;
  private readonly tell: (line: string) => void;
  private state = decoderStart;

  constructor(source: ByteSource, print: (line: string) => void, tell: (line: string) => void) {
    this.source = source;
    this.print = print;
    this.tell = tell;
  }

  start(): void {
    this.source.open({
      bytes: (bytes, at) => {
        const decoded = decode(this.state, bytes, at);
        this.state = decoded.state;
        for (const { message } of decoded.messages) this.print(inWords(message));
        for (const fault of decoded.faults) this.print(`unreadable: ${describeFault(fault)}`);
      },
      opened: () => {
        this.tell(`${this.source.name} is open; asking who is there`);
        this.source.write(lineBytes(encodeHostLine({ type: "identify", box: "?" })));
      },
      lost: (reason, hint) => {
        this.tell(`${reason}: ${hint}`);
      },
    });
  }

  stop(): Promise<void> {
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
