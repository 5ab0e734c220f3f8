// A serial port that is opened again and again until it is closed; made by console, record, listen.
import { readFileSync, statSync } from "node:fs";
import { SerialPort } from "serialport";
import { type HostUs, hostUs } from "../domain/time.ts";
import { portsInFolder } from "./list-ports.ts";
import { lostTrouble, openTrouble, type PortTrouble } from "./port-words.ts";
import type { Source, SourceEvents } from "./source.ts";

/** Speed of our own boxes. */
const BAUD = 115_200;
/** chosen: constant; a doubling wait cost 4 s after the cable was back, this one 0.5 s at most. */
const RECONNECT_MS = 500;
/**
 * The reader at the other end is stuck: nothing more is piled up above this. Once it reads again,
 * the serial library may go on writing only when the next byte comes in; a heartbeat is enough.
 */
const PENDING_MAX_BYTES = 4096;

function stampNow(): HostUs {
  return hostUs(Number(process.hrtime.bigint() / 1000n));
}

/** Name of the group that owns the port; null if it cannot be told. */
function groupOf(path: string): string | null {
  try {
    const gid = String(statSync(path).gid);
    const line = readFileSync("/etc/group", "utf8")
      .split("\n")
      .find((entry) => entry.split(":")[2] === gid);
    return line?.split(":")[0] ?? null;
  } catch (error) {
    // Gone meanwhile, or no such file on this system: the message does without.
    if (error instanceof Error && "code" in error) return null;
    throw error;
  }
}

/**
 * States: waiting (between two tries), opening, open, closed. `close` may be told twice, or never if
 * nobody listens for data, so there is always a listener and `lose` does its work once a port.
 */
export class SerialSource implements Source {
  readonly name: string;
  private readonly baud: number;
  private readonly holdsEvents: boolean;
  private on: SourceEvents | undefined;
  private port: SerialPort | undefined;
  private retry: NodeJS.Timeout | undefined;
  /** Said last, so that it is not said again at each try; other ports that appear are news. */
  private said = "";

  /**
   * @param path - a name under /dev/serial/by-id if there is one
   * @param other - speed of a receiver that is none of our boxes: it does not wait for us to listen
   */
  constructor(path: string, other: { readonly baud: number } | null = null) {
    this.name = path;
    this.baud = other?.baud ?? BAUD;
    this.holdsEvents = other === null;
  }

  open(on: SourceEvents): void {
    this.on = on;
    this.connect();
  }

  write(bytes: Uint8Array): void {
    const { port } = this;
    if (!port?.isOpen || port.writableLength + bytes.length > PENDING_MAX_BYTES) return;
    port.write(bytes);
  }

  async close(): Promise<void> {
    this.on = undefined;
    clearTimeout(this.retry);
    const { port } = this;
    this.port = undefined;
    if (port?.isOpen) await closed(port);
  }

  private connect(): void {
    const port = new SerialPort({
      path: this.name,
      baudRate: this.baud,
      autoOpen: false,
      hupcl: false,
    });
    this.port = port;
    port.on("data", (bytes: Buffer) => {
      const at = stampNow();
      if (this.port === port) this.on?.bytes(bytes, at);
    });
    port.on("error", () => {
      this.lose(port, lostTrouble(this.name, this.holdsEvents));
    });
    port.on("close", () => {
      this.lose(port, lostTrouble(this.name, this.holdsEvents));
    });
    port.open((error) => {
      if (error === null) this.greet(port);
      else this.lose(port, this.whyNot(error.message));
    });
  }

  private greet(port: SerialPort): void {
    if (this.port !== port) {
      // Closed while it was opening.
      void closed(port);
      return;
    }
    this.said = "";
    this.on?.opened();
  }

  private whyNot(text: string): PortTrouble {
    const portsHere = portsInFolder().map(({ path }) => path);
    return openTrouble(this.name, text, { portsHere, group: groupOf(this.name) });
  }

  private lose(port: SerialPort, { reason, hint }: PortTrouble): void {
    if (this.port !== port) return;
    this.port = undefined;
    if (port.isOpen) void closed(port);
    this.retry = setTimeout(() => {
      this.connect();
    }, RECONNECT_MS);
    const words = `${reason}: ${hint}`;
    if (words === this.said) return;
    this.said = words;
    this.on?.lost(reason, hint);
  }
}

/** Resolves when the port is closed, whether or not it complains about it: it may be gone already. */
function closed(port: SerialPort): Promise<void> {
  return new Promise((resolve) => {
    port.close(() => {
      resolve();
    });
  });
}
