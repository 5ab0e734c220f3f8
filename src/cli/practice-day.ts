// A practice day: a simulated rider on a simulated hill, timed by the very recorder of a real day.
// Used by `practice` and by the console's practice key.
import { takeMeasure } from "../app/add-to-sheet.ts";
import { logSwap } from "../app/day-commands.ts";
import { Recorder } from "../app/recorder.ts";
import type { Author, SessionFile } from "../app/session-file.ts";
import { RIDES_ON_KEY } from "../domain/measure-keys.ts";
import { seededRandom } from "../domain/seeded.ts";
import type { Sheet } from "../domain/session.ts";
import { readSheet } from "../sheet/session-sheet.ts";
import { SimulatedHill } from "../source/simulated-hill.ts";
import { stopsNow } from "../summary/stops-now.ts";
import { makeSession } from "./open-session.ts";
import { VirtualTime, virtualClock } from "./virtual-time.ts";

export interface PracticeOptions {
  readonly file: string;
  readonly runs: number;
  readonly seed: number;
  /** Wall clock at which the invented day begins, microseconds since 1970 UTC. */
  readonly startAtUs: number;
  readonly notice: (text: string) => void;
}

/** The difference to be found, in run-to-run spreads; which way round, the seed decides. */
const EFFECT_SPREADS = 3;
/** Between a finish and the next start, so that somebody at the keys can choose otherwise. */
const PAUSE_S = 12;
const INVENTED_BOOT_US = 10_000e6;
const STEP_US = 50_000;

/** The sheet of the practice day: everything in it is invented. */
function practiceSheet(runs: number, seed: number): Sheet {
  const text = `
[session]
name = "Practice: rear tyre insert"
stretch = "Lantern bank, invented"
expected_run_s = 60
margin_s = 0.8
planned_runs = ${String(runs)}
spread_s = 0.7
bands = "${runs < 8 ? "open" : "plan"}"
seed = ${String(seed)}
[[gates]]
role = "start"
box = "S1"
[[gates]]
role = "split"
box = "P1"
sector = "Roots"
terrain = "rooty traverse"
[[gates]]
role = "finish"
box = "F1"
sector = "Gully"
terrain = "steep gully"
[[riders]]
id = "R1"
name = "Rider one"
[[setups]]
id = "A"
name = "No insert"
baseline = true
[setups.values]
rear_tyre_mm = 61
rear_insert = "none"
rear_pressure_bar = 1.6
[[setups]]
id = "B"
name = "Foam insert"
from = "A"
[setups.values]
rear_insert = "foam"
`;
  return readSheet(text, "practice.toml", {
    zone: Intl.DateTimeFormat().resolvedOptions().timeZone,
    date: new Date().toLocaleDateString("sv-SE"),
    seed,
  });
}

export class PracticeDay {
  readonly file: SessionFile;
  readonly time: VirtualTime;
  private readonly hill: SimulatedHill;
  /** By set-up; one that is added at the keys rides like the baseline. */
  private readonly effectSpreads: Record<string, number>;
  private readonly recorder: Recorder;
  private readonly runs: number;
  private readonly by: Author;
  private readonly notice: (text: string) => void;
  private idleSinceUs: number;
  private swapsSeen = 0;
  private isOver = false;

  constructor({ file, runs, seed, startAtUs, notice }: PracticeOptions) {
    this.time = new VirtualTime(INVENTED_BOOT_US);
    this.runs = runs;
    this.notice = notice;
    this.by = { who: "practice", writer: `practice-${String(process.pid)}` };
    const clock = virtualClock(this.time, startAtUs, `practice-${String(startAtUs)}`);
    this.file = makeSession(practiceSheet(runs, seed), file, this.by, clock);
    const sign = seededRandom(seed)() < 0.5 ? -1 : 1;
    this.effectSpreads = { A: 0, B: sign * EFFECT_SPREADS };
    const { time, effectSpreads } = this;
    this.hill = new SimulatedHill({ time, seed, effectSpreads });
    this.recorder = new Recorder({
      file: this.file,
      sources: [this.hill],
      clock,
      scheduler: this.time,
      pid: process.pid,
      notice,
    });
    this.idleSinceUs = this.time.now();
  }

  start(): void {
    this.recorder.start();
  }

  /** True once the last rider is in. */
  get isDone(): boolean {
    return this.isOver;
  }

  /** Moves the day on to this instant of its own time. */
  advanceTo(us: number): void {
    while (this.time.now() < us) {
      this.time.advanceTo(Math.min(us, this.time.now() + STEP_US));
      this.direct();
    }
  }

  /** Moves the day on, one step after another, until the last rider is in. */
  runToTheEnd(): void {
    while (!this.isOver) this.advanceTo(this.time.now() + 1e6);
  }

  async stop(): Promise<void> {
    await this.recorder.stop("practice ended");
    this.file.close();
  }

  /** A simulated rider is never too tired to go on; a crash noted by the operator still holds the bike. */
  private goOn(): void {
    for (const { rider, kind, level } of stopsNow(this.file.summary())) {
      if (level !== "ask") continue;
      const measure = { run: null, rider, setup: null, key: RIDES_ON_KEY, value: kind, unit: null };
      this.file.append(this.by, (session) => takeMeasure(session, measure));
    }
  }

  /** Sends the rider again once the last one is in: with what was chosen by key, else as suggested. */
  private direct(): void {
    const now = this.time.now();
    const summary = this.file.summary();
    if (this.hill.isRiderOnCourse || summary.onCourse.length > 0) {
      this.idleSinceUs = now;
      return;
    }
    if (summary.isClosed || summary.heldBecause !== null) return;
    if (now - this.idleSinceUs < PAUSE_S * 1e6 || this.isOver) return;
    if (this.hill.rides.length >= this.runs) {
      this.isOver = true;
      this.notice("practice is over: look around, mend a run, or press q");
      return;
    }
    this.goOn();
    const { next } = this.file.summary().comparison;
    const { setup } = next;
    const rider = summary.nextStarter ?? "R1";
    const isSuggested = setup !== null && next.rider === rider;
    const isChosenByKey = summary.swaps.length > this.swapsSeen;
    if (!isChosenByKey && isSuggested && summary.mounted[rider] !== setup) {
      this.file.append(this.by, (session) => logSwap(session, rider, setup, true));
    }
    const after = this.file.summary();
    this.swapsSeen = after.swaps.length;
    const mounted = after.mounted[rider] ?? "A";
    this.effectSpreads[mounted] ??= 0;
    this.hill.setMounted(mounted);
    this.hill.sendRider();
    this.idleSinceUs = now;
  }
}
