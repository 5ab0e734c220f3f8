// The whole chain in virtual time: rider, beam, the real program of two boxes with clocks of their own,
// a radio that dawdles, the real recorder, a session file on disk. Used by chain.test.ts and the bench.
import type { ByteSource, ByteSourceEvents } from "../../src/app/needs.ts";
import { Recorder } from "../../src/app/recorder.ts";
import type { Author, SessionFile } from "../../src/app/session-file.ts";
import { makeSession } from "../../src/cli/open-session.ts";
import { VirtualTime, virtualClock } from "../../src/cli/virtual-time.ts";
import type { Run } from "../../src/domain/run.ts";
import { seededRandom } from "../../src/domain/seeded.ts";
import { hostUs } from "../../src/domain/time.ts";
import { encodeHostLine, lineBytes } from "../../src/protocol/encode.ts";
import type { BoxRole } from "../../src/protocol/message.ts";
import { readSheet } from "../../src/sheet/session-sheet.ts";
import { RadioPath } from "../../src/source/radio-path.ts";
import { ride } from "./bikes.ts";
import { LockstepBox, type SentByte } from "./lockstep-box.ts";

/** The radio's least delay: what happens within it on one side cannot yet matter on the other. */
const STEP_US = 2000;
const HOST_BYTE_US = 10e6 / 115_200;
const LINE_FEED = 0x0a;
const NO_TROUBLE = { lost: 0, doubled: 0, noise: 0 };
/** Wall clock and laptop's monotonic clock when the boxes are switched on. */
const WALL_US = Date.UTC(2026, 4, 9, 8) * 1000;
const MONO_US = 1_000e6;
const OPERATOR: Author = { who: "operator", writer: "chain" };

const SHEET = `
[session]
name = "Foam insert in the rear tyre"
date = 2026-05-09
zone = "UTC"
stretch = "Hollow oak, invented"
expected_run_s = 3
travel_min_s = 1
travel_max_s = 60
margin_s = 0.2
drift = "none"
seed = 7
bands = "open"
[[gates]]
role = "start"
box = "S1"
[[gates]]
role = "finish"
box = "F1"
[[riders]]
id = "R1"
name = "Rider one"
[[setups]]
id = "A"
name = "No insert"
baseline = true
[setups.values]
rear_insert = "none"
[[setups]]
id = "B"
name = "Foam insert"
from = "A"
[setups.values]
rear_insert = "foam"
`;

export interface ChainOptions {
  /** The session file to make. */
  readonly file: string;
  readonly seed: number;
  readonly runs: number;
  /** From the boxes' being found to the first start, s. */
  readonly warmUpS: number;
  /** From one start to the next, s. */
  readonly everyS: number;
  readonly runS: number;
  /** The start's radio carries nothing from the first to the second, s after the first start. */
  readonly outageS: readonly [number, number];
  /** After the last finish, s. */
  readonly afterS: number;
}

/** One run as it was shown first, as it stands at the end, and as it was. */
export interface TimedRun {
  readonly trueS: number;
  readonly live: Run;
  readonly last: Run;
}

export interface ChainResult {
  readonly runs: readonly TimedRun[];
  readonly notices: readonly string[];
  readonly exchanges: number;
  /** True time that each box has lived, s. */
  readonly livedS: number;
}

/** One box and its radio, as a port of the laptop. */
class RadioBox implements ByteSource {
  readonly name: string;
  readonly box: LockstepBox;
  /** True times between which the radio carries nothing, us. */
  outageUs: readonly [number, number] = [0, 0];
  private readonly time: VirtualTime;
  private readonly up: RadioPath;
  private readonly down: RadioPath;
  private on: ByteSourceEvents | undefined;
  private line: number[] = [];

  constructor(name: string, time: VirtualTime, ppm: number, random: () => number) {
    this.name = name;
    this.time = time;
    this.box = new LockstepBox({ ppm });
    const options = { kind: "radio", trouble: NO_TROUBLE, random } as const;
    this.up = new RadioPath(options);
    this.down = new RadioPath(options);
  }

  open(on: ByteSourceEvents): void {
    this.on = on;
    this.time.after(0, () => {
      on.opened();
    });
  }

  /** One line at a time, as the recorder writes: the modem sends it on once it has all of it. */
  write(bytes: Uint8Array): void {
    const nowUs = this.time.now() - MONO_US;
    if (this.isOut(nowUs)) return;
    const wholeUs = nowUs + bytes.length * HOST_BYTE_US;
    for (const { atUs, bytes: late } of this.down.send(bytes, wholeUs)) this.box.send(late, atUs);
  }

  close(): Promise<void> {
    this.on = undefined;
    return Promise.resolve();
  }

  /** Takes what the box sent; the laptop hears of each line at once when it arrives. */
  carry(sent: readonly SentByte[]): void {
    for (const { atUs, byte } of sent) {
      this.line.push(byte);
      if (byte !== LINE_FEED) continue;
      const line = Uint8Array.from(this.line.splice(0));
      if (this.isOut(atUs)) continue;
      for (const arrival of this.up.send(line, atUs)) {
        const monoUs = Math.round(arrival.atUs + MONO_US);
        this.time.after((monoUs - this.time.now()) / 1000, () => {
          this.on?.bytes(arrival.bytes, hostUs(monoUs));
        });
      }
    }
  }

  private isOut(atUs: number): boolean {
    return this.outageUs[0] <= atUs && atUs < this.outageUs[1];
  }
}

/** Tells a new box who it is, before it is put at its gate. */
async function name(box: LockstepBox, id: string, role: BoxRole): Promise<void> {
  let said = "";
  for (let us = 50_000; !said.includes("\n") && us < 2e6; us += 50_000) {
    said += String.fromCharCode(...(await box.advance(us)).map(({ byte }) => byte));
  }
  const known = /:1B,([0-9A-Z]{1,4}),/.exec(said)?.[1];
  if (known === undefined) throw new Error(`the box has not said who it is: ${said}`);
  const rename = { type: "rename", box: known, newBox: id, newRole: role } as const;
  box.send(lineBytes(encodeHostLine(rename)), box.nowUs);
  await box.advance(2.5e6);
}

/** @throws {Error} whatever the boxes, the recorder or the file complain of */
export async function runChain(options: ChainOptions): Promise<ChainResult> {
  const time = new VirtualTime(MONO_US);
  const clock = virtualClock(time, WALL_US, "laptop-1");
  const random = seededRandom(options.seed);
  const start = new RadioBox("radio-1", time, 40, random);
  const finish = new RadioBox("radio-2", time, -12, random);
  const boxes = [start, finish];
  const notices: string[] = [];
  const of = { zone: "UTC", date: "2026-05-09", seed: options.seed };
  const sheet = readSheet(SHEET, "chain.toml", of);
  const file: SessionFile = makeSession(sheet, options.file, OPERATOR, clock);
  try {
    await Promise.all([name(start.box, "S1", "S"), name(finish.box, "F1", "F")]);
    time.advanceTo(MONO_US + start.box.nowUs);
    const sources = boxes;
    const notice = (text: string) => notices.push(text);
    const recorder = new Recorder({ file, sources, clock, scheduler: time, pid: 1, notice });
    recorder.start();
    const firstUs = start.box.nowUs + options.warmUpS * 1e6;
    start.outageUs = [firstUs + options.outageS[0] * 1e6, firstUs + options.outageS[1] * 1e6];
    const truths = Array.from({ length: options.runs }, (_, k) => {
      const startUs = Math.round(firstUs + k * options.everyS * 1e6 + random() * 1e5);
      return { startUs, finishUs: startUs + Math.round((options.runS + 0.4 * random()) * 1e6) };
    });
    for (const { startUs, finishUs } of truths) {
      ride(start.box, startUs, 4 + 5 * random());
      ride(finish.box, finishUs, 6 + 8 * random());
    }
    const endUs = (truths.at(-1)?.finishUs ?? 0) + options.afterS * 1e6;
    const live = new Map<string, Run>();
    const noteLive = () => {
      for (const run of file.session().runs) {
        if (run.status === "ok" && !live.has(run.runId)) live.set(run.runId, run);
      }
    };
    const stop = time.every(100, noteLive);
    for (let us = start.box.nowUs; us < endUs; ) {
      us = Math.min(us + STEP_US, endUs);
      const sent = await Promise.all(boxes.map(({ box }) => box.advance(us)));
      boxes.forEach((each, i) => {
        each.carry(sent[i] ?? []);
      });
      time.advanceTo(MONO_US + us);
    }
    stop();
    await recorder.stop("the day is over");
    const runs = file.session().runs.map((last, k): TimedRun => {
      const truth = truths[k];
      const first = live.get(last.runId);
      if (truth === undefined || first === undefined) {
        throw new Error(`a run too many, or never shown: ${JSON.stringify(last)}`);
      }
      return { trueS: (truth.finishUs - truth.startUs) / 1e6, live: first, last };
    });
    const isExchange = (entry: { readonly type: string }) => entry.type === "clock-exchanged";
    const exchanges = file.store.readSince(0).filter(isExchange).length;
    return { runs, notices, exchanges, livedS: endUs / 1e6 };
  } finally {
    file.close();
    await Promise.all(boxes.map(({ box }) => box.end()));
  }
}

/** Errors of run times, ms. */
export interface Scatter {
  readonly meanMs: number;
  readonly sdMs: number;
  readonly worstMs: number;
  /** Largest error over its own standard uncertainty. */
  readonly worstInU: number;
  /** Of the runs' own standard uncertainties. */
  readonly medianUMs: number;
}

export function scatterOf(runs: readonly TimedRun[], which: "live" | "last"): Scatter {
  const errors = runs.map((run) => ((run[which].timeS ?? Number.NaN) - run.trueS) * 1000);
  const mean = errors.reduce((sum, e) => sum + e, 0) / errors.length;
  const square = errors.reduce((sum, e) => sum + (e - mean) ** 2, 0);
  const us = runs.map((run) => (run[which].uncertaintyS ?? Number.NaN) * 1000);
  return {
    meanMs: mean,
    sdMs: Math.sqrt(square / (errors.length - 1)),
    worstMs: Math.max(...errors.map(Math.abs)),
    worstInU: Math.max(...errors.map((e, i) => Math.abs(e / (us[i] ?? Number.NaN)))),
    medianUMs: us.toSorted((a, b) => a - b)[us.length >> 1] ?? Number.NaN,
  };
}
