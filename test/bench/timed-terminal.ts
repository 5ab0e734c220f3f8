// A program on a real terminal of 100x30 with a true emulator behind it: when was which text on it?
// Used by the benches of the screen and of the start.
import { type ChildProcessWithoutNullStreams, spawn } from "node:child_process";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";
import xterm from "@xterm/headless";

const COLUMNS = 100;
const ROWS = 30;

/** What the program wrote at once, as far as can be told. */
export interface Piece {
  /** When it was read, on this laptop's monotonic clock, us. */
  readonly atUs: number;
  readonly text: string;
}

export class TimedTerminal {
  /** Everything written so far, in order. */
  readonly pieces: Piece[] = [];
  /** When the program was started and when it ended, us; null before that. */
  beganUs: number | null = null;
  endedUs: number | null = null;
  pid: number | null = null;
  private readonly child: ChildProcessWithoutNullStreams;
  private readonly emulator = new xterm.Terminal({
    ...{ cols: COLUMNS, rows: ROWS, allowProposedApi: true },
  });
  private looks: (() => void)[] = [];

  constructor(program: readonly string[]) {
    const script = fileURLToPath(new URL("./timed-terminal.py", import.meta.url));
    const words = [script, String(COLUMNS), String(ROWS), ...program];
    this.child = spawn("python3", words, { stdio: ["pipe", "pipe", "pipe"] });
    this.child.stderr.pipe(process.stderr);
    createInterface({ input: this.child.stdout }).on("line", (line) => {
      this.take(line);
      for (const look of this.looks) look();
    });
  }

  /**
   * Waits until the screen shows something; looks after each piece of output.
   *
   * @returns when the piece that brought it was read, us
   */
  async shows(text: string | RegExp, limitMs = 15_000): Promise<number> {
    const isShown = (): boolean => {
      const seen = this.text();
      return typeof text === "string" ? seen.includes(text) : text.test(seen);
    };
    await this.until(isShown, limitMs, `${String(text)} on the screen`);
    return this.pieces.at(-1)?.atUs ?? 0;
  }

  /** Waits for the end of the program. @returns how long it ran, ms */
  async ends(limitMs = 15_000): Promise<number> {
    await this.until(() => this.endedUs !== null, limitMs, "the end of the program");
    return ((this.endedUs ?? 0) - (this.beganUs ?? 0)) / 1000;
  }

  async end(): Promise<void> {
    this.child.stdin.end();
    await this.ends();
  }

  /** The visible rows. */
  text(): string {
    const buffer = this.emulator.buffer.active;
    return Array.from(
      { length: ROWS },
      (_, row) => buffer.getLine(buffer.baseY + row)?.translateToString(true) ?? "",
    ).join("\n");
  }

  private take(line: string): void {
    const [word, at, rest = ""] = line.split(" ");
    const atUs = Number(at);
    if (word === "began") {
      this.beganUs = atUs;
      this.pid = Number(rest);
    } else if (word === "exit") this.endedUs = atUs;
    else {
      const bytes = Buffer.from(rest, "hex");
      this.pieces.push({ atUs, text: bytes.toString("utf8") });
      this.emulator.write(bytes, () => {
        for (const look of this.looks) look();
      });
    }
  }

  private async until(isTrue: () => boolean, limitMs: number, what: string): Promise<void> {
    if (isTrue()) return;
    await new Promise<void>((resolve, reject) => {
      const done = (): void => {
        clearTimeout(timer);
        this.looks = this.looks.filter((each) => each !== look);
      };
      const look = (): void => {
        if (!isTrue()) return;
        done();
        resolve();
      };
      const timer = setTimeout(() => {
        done();
        reject(new Error(`waited in vain for ${what}; it shows:\n${this.text()}`));
      }, limitMs);
      this.looks.push(look);
    });
  }
}
