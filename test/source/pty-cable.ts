// A real pseudo-terminal as a serial cable that can be pulled and put back; for tests with a port.
import { type ChildProcessWithoutNullStreams, spawn } from "node:child_process";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";

/** Waits for a condition by looking again and again; gives up with its name. */
export async function until(what: string, isTrue: () => boolean, limitMs = 10_000): Promise<void> {
  const begun = performance.now();
  while (!isTrue()) {
    if (performance.now() - begun > limitMs) throw new Error(`waited in vain: ${what}`);
    await new Promise((resolve) => setTimeout(resolve, 5));
  }
}

export class PtyCable {
  /** What the laptop has written so far. */
  received = "";
  private readonly child: ChildProcessWithoutNullStreams;
  private answers: string[] = [];

  /** @param link - path at which the port appears once it is plugged in */
  constructor(link: string) {
    const script = fileURLToPath(new URL("./pty-cable.py", import.meta.url));
    this.child = spawn("python3", [script, link]);
    createInterface({ input: this.child.stdout }).on("line", (line) => {
      if (line.startsWith("got ")) this.received += Buffer.from(line.slice(4), "hex").toString();
      else this.answers.push(line);
    });
  }

  plug(): Promise<void> {
    return this.ask("plug", "plugged");
  }

  unplug(): Promise<void> {
    return this.ask("unplug", "unplugged");
  }

  send(text: string): Promise<void> {
    return this.ask(`send ${Buffer.from(text).toString("hex")}`, "sent");
  }

  /** The box stops reading what the laptop writes. */
  hold(): Promise<void> {
    return this.ask("hold", "held");
  }

  free(): Promise<void> {
    return this.ask("free", "freed");
  }

  async end(): Promise<void> {
    this.child.stdin.end();
    await until("the cable's process ends", () => this.child.exitCode !== null);
  }

  private async ask(command: string, answer: string): Promise<void> {
    this.answers = [];
    this.child.stdin.write(`${command}\n`);
    await until(answer, () => this.answers.includes(answer));
  }
}
