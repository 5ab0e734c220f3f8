// `listen` and `--port PATH=NAME` as they are typed: the program itself at real pseudo-terminals.
import { type ChildProcessWithoutNullStreams, spawn } from "node:child_process";
import { once } from "node:events";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterEach, describe, expect, it, onTestFinished } from "vitest";
import { listenCommand } from "../../src/cli/commands/listen.ts";
import { portsGiven } from "../../src/cli/ports-given.ts";
import { UserError } from "../../src/domain/errors.ts";
import { sheetWith } from "../app/a-receiver.ts";
import { PtyCable, until } from "../source/pty-cable.ts";
import { emptyFolder } from "../store/on-disk.ts";

const LINES = `
[[lines]]
name = "timer"
pattern = '^\\x02?(?<gate>[1-3]) (?<tag>\\w*) (?<time>\\d+)$'
unit = "ms"
boxes = { "1" = "S1", "2" = "F1" }
[[lines]]
name = "top"
pattern = 'x'
box = "S1"
`;
const SHEET = `
[session]
name = "Foam insert"
stretch = "Upper woods"
planned_runs = 12
[[gates]]
role = "start"
box = "S1"
[[gates]]
role = "finish"
box = "F1"
[[setups]]
id = "A"
name = "No insert"
baseline = true
[[setups]]
id = "B"
name = "Foam insert"
${LINES}`;

class Program {
  out = "";
  err = "";
  private readonly child: ChildProcessWithoutNullStreams;
  private readonly ended: Promise<unknown[]>;

  constructor(...args: readonly string[]) {
    this.child = spawn(process.execPath, ["--import", "tsx", "src/cli/main.tsx", ...args]);
    this.child.stdout.setEncoding("utf8").on("data", (text: string) => {
      this.out += text;
    });
    this.child.stderr.setEncoding("utf8").on("data", (text: string) => {
      this.err += text;
    });
    this.ended = once(this.child, "close");
    onTestFinished(() => {
      this.child.kill("SIGKILL");
    });
  }

  says(text: string): Promise<void> {
    return until(`${text} in ${this.out}${this.err}`, () => this.err.includes(text), 25_000);
  }

  shows(text: string): Promise<void> {
    return until(text, () => this.out.includes(text), 25_000);
  }

  /** Ctrl-C. @returns the exit code */
  async interrupt(): Promise<unknown> {
    this.child.kill("SIGINT");
    const [code] = await this.ended;
    return code;
  }
}

let cables: PtyCable[] = [];
afterEach(async () => {
  for (const cable of cables) await cable.end();
  cables = [];
});

function cableAt(path: string): PtyCable {
  const cable = new PtyCable(path);
  cables.push(cable);
  return cable;
}

describe("listen", () => {
  it("says in words that the port is not there, goes on trying, and ends on Ctrl-C", async () => {
    const path = join(emptyFolder(), "port");
    const program = new Program("listen", path);
    await program.says(`${path} is not there: is the cable in? `);
    expect(program.err).toMatch(/(?:ports here: \/dev\/|no port is here).*Ctrl-C ends it\n$/);
    const cable = cableAt(path);
    await cable.plug();
    await program.says(`${path} is open; asking who is there`);
    await until("the question", () => cable.received === ":1I,?*D996\n");
    await cable.send(":1E,S1,0012,143,S,B,1234567890,0,-,3760,98*513E\nrubbish\n");
    await program.shows("unreadable: 7 bytes of noise between lines: rubbish\n");
    expect(program.out).toContain("box S1 (boot 18): 143 beam broken at 1234.567890 s");
    expect(await program.interrupt()).toBe(0);
  });

  it("ends on Ctrl-C while the port is not there", async () => {
    const program = new Program("listen", join(emptyFolder(), "nowhere"), "--pattern", "x");
    await program.says("is not there");
    expect(await program.interrupt()).toBe(0);
    expect(program.out).toBe("0 lines: 0 counted, 0 did not\n");
  });

  it("tries the sheet's lines out, safely, and counts them", async () => {
    const folder = emptyFolder();
    const path = join(folder, "port");
    const sheet = join(folder, "day.toml");
    writeFileSync(sheet, SHEET);
    const cable = cableAt(path);
    await cable.plug();
    const program = new Program("listen", path, "--sheet", sheet, "--lines", "timer");
    await program.says("is open: let something pass");
    await cable.send("\x021 a1 5000\r\n2 a1 5100\r\n1  5200\r\n3 a1 5300\r\nbad\x1b[2J  1\r\n");
    await program.shows("bad");
    expect(await program.interrupt()).toBe(0);
    expect(program.out.split("\n")).toEqual([
      '\\x021 a1 5000 -> gate "1" box S1 at 5.000000 s, tag A1',
      '2 a1 5100 -> gate "2" box F1 at 5.100000 s, tag A1',
      '1\\x20 5200 -> gate "1" box S1 at 5.200000 s, no tag, 0.200000 s since its line before',
      '3 a1 5300 -> gate "3" stands for NO BOX of the sheet at 5.300000 s, tag A1',
      "bad\\x1b[2J\\x20 1 -> does not match the pattern timer",
      "5 lines: 3 counted, 2 did not",
      'gate "1" box S1: 2',
      'gate "2" box F1: 1',
      'gate "3" stands for NO BOX of the sheet: 1',
      "",
    ]);
    expect(cable.received).toBe(""); // it is asked nothing
  });

  it.each([
    [["--pattern", "("], "a regular expression (Invalid"],
    [["--pattern", "x", "--unit", "h"], "one of s, ms, us, h:m:s"],
    [["--pattern", "x", "--baud", "fast"], "a whole number from 110 to 4000000"],
    [["--unit", "ms"], "--unit and --baud without --pattern"],
    [["--lines", "timer"], "add --sheet SHEET.toml"],
    [["--sheet", "SHEET"], "add --lines timer or top"],
    [["--sheet", "SHEET", "--lines", "tim"], "the sheet has timer, top"],
  ])("refuses %j", async (args, said) => {
    const sheet = join(emptyFolder(), "day.toml");
    writeFileSync(sheet, SHEET);
    const typed = args.map((arg) => (arg === "SHEET" ? sheet : arg));
    const refused: unknown = await listenCommand()
      .parseAsync(["p", ...typed], { from: "user" })
      .then(
        () => null,
        (error: unknown) => error,
      );
    if (!(refused instanceof UserError)) throw new TypeError("not refused");
    expect(refused.code).toBe("wrong-usage");
    expect(`${refused.message}: ${refused.hint}`).toContain(said);
  });
});

describe("--port PATH=NAME", () => {
  const { lines } = sheetWith(LINES);

  it("takes what follows the last = for the sheet's lines", () => {
    const { sources, foreign } = portsGiven(["/dev/a", "/dev/b=timer"], lines);
    expect(sources.map(({ name }) => name)).toEqual(["/dev/a", "/dev/b"]);
    expect([...foreign].map(([port, line]) => [port, line.name])).toEqual([["/dev/b", "timer"]]);
  });

  it.each([
    [["/dev/a=clock"], "no [[lines]] of that name: clock", "the sheet has timer, top"],
    [["/dev/a", "/dev/a=top"], "/dev/a is named twice", "name each port once"],
    [["/dev/a=timer", "/dev/b=top"], "box S1 would be heard at two ports", "with other boxes"],
    [["/dev/a=timer", "/dev/b=timer"], "box S1 would be heard at two ports", "with other boxes"],
  ])("refuses %j", (given, message, hint) => {
    try {
      portsGiven(given, lines);
    } catch (error) {
      if (!(error instanceof UserError)) throw error;
      expect([error.code, error.message]).toEqual(["wrong-usage", message]);
      expect(error.hint).toContain(hint);
      return;
    }
    throw new Error("not refused");
  });
});
