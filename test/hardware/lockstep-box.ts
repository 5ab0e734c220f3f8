// A timing box's real program on the simulated board, in virtual time: nothing moves but by `advance`.
// The binary protocol is that of hardware/simulator/lockstep.c.
import { type ChildProcessWithoutNullStreams, spawn } from "node:child_process";
import { BOX_ELF, BOXSIM } from "./tools.ts";

const KINDS = { uart: 0, beam: 1, button: 2, reader: 3, reset: 4 } as const;
const HEAD = 12;
const ITEM_IN = 10;
const ITEM_OUT = 9;
/** 115200 bit/s, ten bits a byte. */
const HOST_BYTE_US = 10e6 / 115_200;
/** 16 MHz / 8 / 17, ten bits a byte: what the box's own line runs at. */
const BOX_BYTE_US = 85;
const READER_BYTE_US = 10e6 / 9600;

/** A byte that the box sent. */
export interface SentByte {
  /** True instant at which it was wholly there, us. */
  readonly atUs: number;
  /** True instant at which its start bit began, us. */
  readonly beginsUs: number;
  readonly byte: number;
}

export interface LockstepOptions {
  readonly elf?: string;
  /** How much its crystal runs fast. */
  readonly ppm?: number;
  /** File that its EEPROM is kept in. */
  readonly eeprom?: string;
}

/** The true time of all methods is in us, from the moment at which the box is switched on. */
export class LockstepBox {
  private readonly child: ChildProcessWithoutNullStreams;
  private items: Buffer[] = [];
  private received = Buffer.alloc(0);
  private waiting: (() => void) | undefined;
  private errors = "";
  private isEnded = false;
  private lineFreeUs = 0;
  /** CPU seconds are the children's; this is how much of its own time the box has lived, us. */
  nowUs = 0;

  constructor({ elf = BOX_ELF, ppm = 0, eeprom }: LockstepOptions = {}) {
    const kept = eeprom === undefined ? [] : ["--eeprom", eeprom];
    this.child = spawn(BOXSIM, ["--lockstep", "--elf", elf, "--ppm", String(ppm), ...kept]);
    this.child.stdout.on("data", (bytes: Buffer) => {
      this.received = Buffer.concat([this.received, bytes]);
      this.waiting?.();
    });
    this.child.stderr.setEncoding("utf8").on("data", (text: string) => {
      this.errors += text;
    });
    this.child.on("close", () => {
      this.isEnded = true;
      this.waiting?.();
    });
    this.child.stdin.on("error", () => undefined); // its end is told by `close`
  }

  beam(atUs: number, isBlocked: boolean): void {
    this.push(atUs, "beam", isBlocked ? 1 : 0);
  }

  press(atUs: number, forUs: number): void {
    this.push(atUs, "button", 1);
    this.push(atUs + forUs, "button", 0);
  }

  /** What the transponder reader says, as it leaves it. @returns the instant at which its last byte is there */
  reader(atUs: number, text: string): number {
    [...Buffer.from(text, "latin1")].forEach((byte, i) => {
      this.push(atUs + i * READER_BYTE_US, "reader", byte);
    });
    return atUs + text.length * READER_BYTE_US;
  }

  reset(atUs: number): void {
    this.push(atUs, "reset", 0);
  }

  /** From the host, a byte each byte time. @returns the instant at which the first one begins */
  send(bytes: Uint8Array, atUs: number): number {
    const beginsUs = Math.max(atUs, this.lineFreeUs);
    bytes.forEach((byte, i) => {
      this.push(beginsUs + i * HOST_BYTE_US, "uart", byte);
    });
    this.lineFreeUs = beginsUs + bytes.length * HOST_BYTE_US;
    return beginsUs;
  }

  /** Lets time pass. @returns what was sent meanwhile. @throws {Error} if the simulator has ended */
  async advance(toUs: number): Promise<readonly SentByte[]> {
    const head = Buffer.alloc(HEAD);
    head.writeBigUInt64LE(BigInt(Math.round(toUs * 1000)), 0);
    head.writeUInt32LE(this.items.length, 8);
    this.child.stdin.write(Buffer.concat([head, ...this.items]));
    this.items = [];
    await this.until(HEAD);
    const count = this.received.readUInt32LE(8);
    const length = HEAD + count * ITEM_OUT;
    await this.until(length);
    const sent: SentByte[] = [];
    for (let at = HEAD; at < length; at += ITEM_OUT) {
      const beginsUs = Number(this.received.readBigUInt64LE(at)) / 1000;
      const byte = this.received.readUInt8(at + 8);
      sent.push({ beginsUs, atUs: beginsUs + BOX_BYTE_US, byte });
    }
    this.received = this.received.subarray(length);
    this.nowUs = toUs;
    return sent;
  }

  /** Switches it off; its EEPROM is kept. */
  async end(): Promise<void> {
    this.child.stdin.end();
    while (!this.isEnded) await this.next();
  }

  private push(atUs: number, kind: keyof typeof KINDS, value: number): void {
    const item = Buffer.alloc(ITEM_IN);
    item.writeBigUInt64LE(BigInt(Math.round(atUs * 1000)), 0);
    item.writeUInt8(KINDS[kind], 8);
    item.writeUInt8(value, 9);
    this.items.push(item);
  }

  private async until(length: number): Promise<void> {
    while (this.received.length < length) {
      if (this.isEnded) throw new Error(`the simulated box has ended: ${this.errors}`);
      await this.next();
    }
  }

  private next(): Promise<void> {
    return new Promise((resolve) => {
      this.waiting = () => {
        this.waiting = undefined;
        resolve();
      };
    });
  }
}
