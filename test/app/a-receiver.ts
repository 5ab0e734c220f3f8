// A receiver with lines of its own for the tests of the recorder: its clock, its delays, a day at two
// gates with the truth beside it.
import { Recorder } from "../../src/app/recorder.ts";
import type { SessionFile } from "../../src/app/session-file.ts";
import type { ForeignLine } from "../../src/domain/foreign-line.ts";
import { seededRandom } from "../../src/domain/seeded.ts";
import type { Sheet } from "../../src/domain/session.ts";
import { readSheet } from "../../src/sheet/session-sheet.ts";
import { TestLaptop, TestPort } from "./a-day.ts";

const DAY_S = 86_400;

/** A sheet with start S1, finish F1 and these [[lines]]. */
export function sheetWith(
  lines: string,
  riders = '[[riders]]\nid = "R1"\nname = "Rider one"\n',
): Sheet {
  const text = `
[session]
name = "Foam insert, upper woods"
date = 2026-05-09
zone = "UTC"
stretch = "Upper woods"
expected_run_s = 70
planned_runs = 12
seed = 3
[[gates]]
role = "start"
box = "S1"
[[gates]]
role = "finish"
box = "F1"
${riders}
[[setups]]
id = "A"
name = "No insert"
baseline = true
[[setups]]
id = "B"
name = "Foam insert"
${lines}`;
  return readSheet(text, "day.toml", { zone: "UTC", date: "2026-05-09", seed: 3 });
}

/** The sheet's lines of that name. */
function linesOf(sheet: Sheet, name: string): ForeignLine {
  const found = sheet.lines.find((line) => line.name === name);
  if (found === undefined) throw new TypeError(`no lines ${name}`);
  return found;
}

/** Time of day with so many decimals, cut and not rounded. */
export function hms(s: number, digits = 3): string {
  const scale = 10 ** digits;
  const whole = Math.floor((((s % DAY_S) + DAY_S) % DAY_S) * scale + 1e-6);
  const two = (n: number) => String(n).padStart(2, "0");
  const seconds = Math.floor(whole / scale);
  const rest = String(whole % scale).padStart(digits, "0");
  const clock = [Math.floor(seconds / 3600), Math.floor(seconds / 60) % 60, seconds % 60];
  return `${clock.map(two).join(":")}${digits > 0 ? `.${rest}` : ""}`;
}

/** One receiver: its clock and what it prints. */
export interface Receiver {
  /** Name of its port, and of the sheet's lines. */
  readonly port: string;
  readonly lines: string;
  /** What its clock says at the laptop's zero, s. */
  readonly aheadS: number;
  readonly ppm: number;
  /** From the passing to the last byte, s: least and most. */
  readonly delayS: readonly [number, number];
  /** Its line for a passing at that time of its clock, s. */
  readonly print: (gate: string, clockS: number, tag: string) => string;
}

/** A recorder on a real file, with receivers at its ports. */
export class ForeignDay {
  readonly laptop: TestLaptop;
  readonly file: SessionFile;
  readonly ports: ReadonlyMap<string, TestPort>;
  readonly recorder: Recorder;
  private readonly random: () => number;

  /** @param before - a day to go on with, its recorder stopped */
  constructor(sheet: Sheet, receivers: readonly Receiver[], seed: number, before?: ForeignDay) {
    this.laptop = before?.laptop ?? new TestLaptop();
    this.file = before?.file ?? this.laptop.make(sheet);
    this.random = seededRandom(seed);
    this.ports = new Map(receivers.map(({ port }) => [port, new TestPort(this.laptop, port)]));
    this.recorder = new Recorder({
      file: this.file,
      sources: [...this.ports.values()],
      foreign: new Map(receivers.map(({ port, lines }) => [port, linesOf(sheet, lines)])),
      clock: this.laptop.clock,
      // Nothing is asked of such a receiver: only its lines make anything happen.
      scheduler: {
        every: () => () => undefined,
        after: (ms, job) => this.laptop.time.after(ms, job),
      },
      pid: 1,
      notice: (text) => this.laptop.notices.push(text),
    });
  }

  /** Uniform, from least to most. */
  between(least: number, most: number): number {
    return least + (most - least) * this.random();
  }

  port(name: string): TestPort {
    const found = this.ports.get(name);
    if (found === undefined) throw new TypeError(`no port ${name}`);
    return found;
  }

  /** Something passes now; the line comes in when its delay is over. */
  passing(receiver: Receiver, gate: string, tag = ""): void {
    const nowS = this.laptop.time.now() / 1e6;
    const clockS = receiver.aheadS + nowS * (1 + receiver.ppm / 1e6);
    const line = receiver.print(gate, clockS, tag);
    this.laptop.time.after(this.between(...receiver.delayS) * 1000, () => {
      this.port(receiver.port).text(line);
    });
  }

  /** One run; the laptop's clock tells the truth. */
  run(start: Receiver, finish: Receiver, runS: number, tag = ""): void {
    this.passing(start, "1", tag);
    this.laptop.pass(runS);
    this.passing(finish, "2", tag);
    this.laptop.pass(1);
  }

  /** What the session has of each run, in order. */
  runs(): readonly { rider: string; timeS: number; uncertaintyS: number; status: string }[] {
    return this.file.session().runs.map(({ rider, timeS, uncertaintyS, status }) => ({
      rider,
      timeS: timeS ?? Number.NaN,
      uncertaintyS: uncertaintyS ?? Number.NaN,
      status,
    }));
  }
}
