// Three timing boxes on one serial cable: simulated boxes in real time, on a real pseudo-terminal.
import { type ChildProcessWithoutNullStreams, spawn } from "node:child_process";
import { join } from "node:path";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";
import { type SentLine, SimulatedBox } from "../../src/source/simulated-box.ts";
import { waitFor } from "./program.ts";

/** A pass of the scenario's bike: long enough for one, with the pulses of its wheels. */
const BIKE = { durationUs: 250_000, pulses: 12 };
const TICK_MS = 1;
/** From asking for a ride to its first passing. */
const SOON_US = 60_000;

/** Instants of the true clock at which a rider crosses, us; what the boxes' own clocks say is theirs. */
export interface Ride {
  readonly startUs: number;
  readonly splitUs: number;
  readonly finishUs: number;
}

export class Gates {
  /** Name of the cable's end as the program is told it. */
  readonly port: string;
  readonly start: SimulatedBox;
  readonly split: SimulatedBox;
  readonly finish: SimulatedBox;
  private readonly child: ChildProcessWithoutNullStreams;
  private readonly timer: NodeJS.Timeout;
  private readonly answers: string[] = [];
  private isPlugged = false;
  private unread = "";

  /** @param folder - the cable's end is a link in it; the cable is out at first */
  constructor(folder: string) {
    this.port = join(folder, "cable");
    const now = this.now();
    const box = (id: string, role: "S" | "P1" | "F", boot: number, skewPpm: number): SimulatedBox =>
      new SimulatedBox({ id, role, boot, skewPpm, seed: boot, onAtUs: now - boot * 10_000_000 });
    this.start = box("S1", "S", 18, 40);
    this.split = box("P1", "P1", 5, -25);
    this.finish = box("F1", "F", 7, -12);
    const script = fileURLToPath(new URL("../source/pty-cable.py", import.meta.url));
    this.child = spawn("python3", [script, this.port]);
    createInterface({ input: this.child.stdout }).on("line", (line) => {
      if (line.startsWith("got ")) this.hear(Buffer.from(line.slice(4), "hex").toString("latin1"));
      else this.answers.push(line);
    });
    this.timer = setInterval(() => {
      for (const each of this.boxes) this.send(each.advance(this.now()));
    }, TICK_MS);
  }

  get boxes(): readonly SimulatedBox[] {
    return [this.start, this.split, this.finish];
  }

  /** The true clock, us. */
  now(): number {
    return performance.now() * 1000;
  }

  async plug(): Promise<void> {
    await this.ask("plug", "plugged");
    this.unread = "";
    this.isPlugged = true;
  }

  /** The cable is out: the far end is gone, and so is its name. */
  async pull(): Promise<void> {
    this.isPlugged = false;
    await this.ask("unplug", "unplugged");
  }

  /** Anything at all into the cable. */
  inject(bytes: Uint8Array): void {
    this.child.stdin.write(`send ${Buffer.from(bytes).toString("hex")}\n`);
  }

  /** Somebody rides the stretch from now on. @param splitS, finishS - seconds after the start */
  ride(splitS: number, finishS: number): Ride {
    const startUs = this.cross(this.start);
    const splitUs = startUs + splitS * 1e6;
    const finishUs = startUs + finishS * 1e6;
    this.split.trip(splitUs, BIKE);
    this.finish.trip(finishUs, BIKE);
    return { startUs, splitUs, finishUs };
  }

  /** Somebody crosses a gate now. @returns the true instant, us */
  cross(box: SimulatedBox): number {
    const atUs = this.now() + SOON_US;
    box.trip(atUs, BIKE);
    return atUs;
  }

  /** Resolves when the true clock has come to that instant, us. */
  async until(us: number): Promise<void> {
    const leftMs = (us - this.now()) / 1000;
    if (leftMs > 0) await new Promise((done) => setTimeout(done, leftMs));
  }

  /** Resolves once the boxes have been told that every event of theirs is safe. */
  async allSafe(): Promise<void> {
    await waitFor(
      () =>
        `acknowledgements: ${this.boxes.map((b) => `${b.id} holds ${String(b.waiting)}`).join(", ")}`,
      () => (this.boxes.every((box) => box.waiting === 0) ? true : undefined),
      15_000,
    );
  }

  async end(): Promise<void> {
    clearInterval(this.timer);
    this.isPlugged = false;
    this.child.stdin.end();
    await waitFor(
      () => "the end of the cable's process",
      () => (this.child.exitCode === null ? undefined : true),
    );
  }

  /** A pseudo-terminal hands bytes over at once: no line waits behind another, as on a slow wire. */
  private hear(text: string): void {
    if (!this.isPlugged) return;
    this.unread += text;
    const lines = this.unread.split("\n");
    this.unread = lines.pop() ?? "";
    for (const line of lines) {
      for (const box of this.boxes) this.send(box.receive(Buffer.from(`${line}\n`), this.now()));
    }
  }

  private send(lines: readonly SentLine[]): void {
    if (!this.isPlugged) return;
    for (const { bytes } of lines) this.inject(bytes);
  }

  private async ask(command: string, answer: string): Promise<void> {
    this.answers.length = 0;
    this.child.stdin.write(`${command}\n`);
    await waitFor(
      () => `the cable to be ${answer}`,
      () => (this.answers.includes(answer) ? true : undefined),
    );
  }
}
