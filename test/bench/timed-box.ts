// The boxes' end of a serial cable, in a process of its own that takes the times itself: what the
// bench's own work does to them is not measured. Used by the benches with a port.
import { type ChildProcessWithoutNullStreams, spawn } from "node:child_process";
import { once } from "node:events";
import { createInterface, type Interface } from "node:readline";
import { fileURLToPath } from "node:url";
import { BOOT, BOX_AHEAD_US } from "./invented-day.ts";

export class TimedBox {
  /** Where the port appears. */
  readonly link: string;
  private readonly child: ChildProcessWithoutNullStreams;
  private readonly answers: Interface;

  constructor(link: string) {
    this.link = link;
    const script = fileURLToPath(new URL("./timed-box.py", import.meta.url));
    const boot = BOOT.toString(16).toUpperCase().padStart(4, "0");
    this.child = spawn("python3", [script, link, String(BOX_AHEAD_US), boot], {
      stdio: ["pipe", "pipe", "pipe"],
    });
    this.child.stderr.pipe(process.stderr);
    this.answers = createInterface({ input: this.child.stdout });
  }

  async plug(): Promise<void> {
    await this.ask("plug");
  }

  /** Waits until the laptop has opened the port and asked who is there. */
  async isAsked(): Promise<void> {
    const answer = await this.ask("wait :1I,? 15");
    if (!answer.startsWith("until")) throw new Error("nobody opened the port");
  }

  /** @returns when the first byte was written, on this laptop's monotonic clock, us */
  async say(text: string): Promise<number> {
    const [, at] = (await this.ask(`say ${hex(text)}`)).split(" ");
    return Number(at);
  }

  /**
   * Says something and waits for what the laptop says to it.
   *
   * @returns from the first byte written to the last byte of `wanted` read, ms
   */
  async sayUntil(text: string, wanted: string, limitS: number): Promise<number> {
    const answer = await this.ask(`until ${hex(text)} ${wanted} ${String(limitS)}`);
    const [word, from, to] = answer.split(" ");
    if (word !== "until") throw new Error(`the boxes waited in vain for ${wanted}`);
    return (Number(to) - Number(from)) / 1000;
  }

  async end(): Promise<void> {
    const exit = once(this.child, "exit");
    this.child.stdin.end();
    await exit;
  }

  private async ask(command: string): Promise<string> {
    const answer = once(this.answers, "line") as Promise<[string]>;
    this.child.stdin.write(`${command}\n`);
    const [line] = await answer;
    return line;
  }
}

function hex(text: string): string {
  return Buffer.from(text, "latin1").toString("hex");
}
