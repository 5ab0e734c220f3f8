// A real terminal of its own for one test: tmux with a server of its own, and a shell to start from.
import { execFile, spawnSync } from "node:child_process";
import { chmodSync, existsSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { promisify } from "node:util";
import { PROGRAM, waitFor } from "./program.ts";

const execute = promisify(execFile);
let servers = 0;

export interface Modes {
  /** On the alternate screen, as full-screen programs are. */
  readonly isAlternate: boolean;
  readonly isCursorShown: boolean;
}

export class Terminal {
  private readonly folder: string;
  private readonly socket: string;

  private constructor(folder: string, socket: string) {
    this.folder = folder;
    this.socket = socket;
  }

  /** @param folder - where the shell stands; a script `./swaplap` for starting the program is put there */
  static async open(folder: string, columns: number, rows: number): Promise<Terminal> {
    servers += 1;
    const socket = `swaplap-e2e-${String(process.pid)}-${String(servers)}`;
    const terminal = new Terminal(folder, socket);
    // For a test that did not come to its end.
    process.once("exit", () => {
      spawnSync("tmux", ["-L", socket, "kill-server"], { env: terminal.env });
    });
    const script = join(folder, "swaplap");
    writeFileSync(script, `#!/bin/sh\necho $$ > pid-${socket}\nexec node ${PROGRAM} "$@"\n`);
    chmodSync(script, 0o755);
    const size = ["-x", String(columns), "-y", String(rows)];
    await terminal.tmux("new-session", "-d", "-s", "t", ...size, "env PS1='$ ' sh");
    await terminal.shows("$");
    return terminal;
  }

  /** Starts the program by the shell; `ended CODE` is printed when it ends. */
  async start(args: string): Promise<void> {
    rmSync(this.pidFile, { force: true });
    await this.type("clear", "Enter");
    await this.type(`./swaplap ${args}; echo ended $?`, "Enter");
  }

  /** Process id of the program started last. */
  pid(): Promise<number> {
    return waitFor(
      () => "the program's process id",
      () => {
        const text = existsSync(this.pidFile) ? readFileSync(this.pidFile, "utf8") : "";
        return /^\d+\n$/.test(text) ? Number(text) : undefined;
      },
    );
  }

  /** @param keys - text as it is, or tmux's names of keys: Enter, Escape, BSpace, Up */
  async type(...keys: readonly string[]): Promise<void> {
    await this.tmux("send-keys", "-t", "t", ...keys);
  }

  /** The rows as they are seen; blanks at their ends are not. */
  screen(): Promise<string> {
    return this.tmux("capture-pane", "-p", "-t", "t");
  }

  /** Waits until the terminal shows it. @returns the whole screen */
  shows(what: string | RegExp, limitMs = 10_000): Promise<string> {
    return this.sees(
      String(what),
      (screen) => (typeof what === "string" ? screen.includes(what) : what.test(screen)),
      limitMs,
    );
  }

  async sees(what: string, isIt: (screen: string) => boolean, limitMs = 10_000): Promise<string> {
    let seen = "";
    return await waitFor(
      () => `${what} on the terminal, which shows:\n${seen}`,
      async () => {
        seen = await this.screen();
        return isIt(seen) ? seen : undefined;
      },
      limitMs,
    );
  }

  async resize(columns: number, rows: number): Promise<void> {
    await this.tmux("resize-window", "-t", "t", "-x", String(columns), "-y", String(rows));
  }

  async modes(): Promise<Modes> {
    const flags = "#{alternate_on} #{cursor_flag}";
    const told = (await this.tmux("display-message", "-p", "-t", "t", flags)).trim();
    return { isAlternate: told.startsWith("1"), isCursorShown: told.endsWith("1") };
  }

  /** The terminal's title, which escape sequences can set. */
  async title(): Promise<string> {
    return (await this.tmux("display-message", "-p", "-t", "t", "#{pane_title}")).trim();
  }

  /** Of `icanon` and `echo` those that are on; asked by the shell, once the program has ended. */
  async lineModes(): Promise<readonly string[]> {
    await this.type(
      "stty -a | tr ' ;' '\\n\\n' | grep -xE 'icanon|echo'; echo modes'read'",
      "Enter",
    );
    const seen = await this.shows("modesread");
    return seen.split("\n").filter((row) => row === "icanon" || row === "echo");
  }

  async end(): Promise<void> {
    // Whatever still runs in it gets a hang-up, as when a window is closed.
    await this.tmux("kill-server");
  }

  private get env(): NodeJS.ProcessEnv {
    const inFolder = { TMPDIR: this.folder, TMUX_TMPDIR: this.folder };
    return { ...process.env, ...inFolder, LC_ALL: "C.UTF-8", TERM: "xterm-256color" };
  }

  private get pidFile(): string {
    return join(this.folder, `pid-${this.socket}`);
  }

  private async tmux(...args: readonly string[]): Promise<string> {
    const { stdout } = await execute(
      "tmux",
      ["-u", "-L", this.socket, "-f", "/dev/null", ...args],
      {
        cwd: this.folder,
        env: this.env,
      },
    );
    return stdout;
  }
}
