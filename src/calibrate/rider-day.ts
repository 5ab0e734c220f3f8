// One rider's simulated day as it grows: what was ridden, what it took, and what the program said
// after every counted run; made and ridden by ride-day.ts.
import { type RiderStanding, standingOf } from "../advisor/rider-standing.ts";
import type { ComparisonInput, PlannedEnd, Verdict } from "../domain/comparison.ts";
import type { Run, RunStatus } from "../domain/run.ts";
import { type Rider, type SetupId, swapMinutes } from "../domain/session.ts";
import { type CountedRun, sortedRuns } from "../stats/counted-runs.ts";
import { Look } from "../stats/look.ts";
import { riderFitAt } from "../stats/rider-fit.ts";
import { RowBank } from "../stats/row-bank.ts";
import { verdictsOf } from "./every-look.ts";
import { layoutOfDays, type Promises, type RiderPromise } from "./promises.ts";
import type { DayShape } from "./trial.ts";

/** What had been spent when a counted run was in. */
interface Spent {
  readonly swaps: number;
  /** Laps and swaps; the swaps alone without a lap time. */
  readonly minutes: number;
}

/** A ride as it went. */
export interface Ridden {
  readonly setup: SetupId;
  readonly status: Extract<RunStatus, "ok" | "void" | "warm-up">;
  readonly timeS: number;
}

/** What was said when every set-up had a verdict against the leader. */
export interface Decision {
  readonly leader: SetupId;
  /** Every other set-up, against the leader. */
  readonly others: readonly { readonly setup: SetupId; readonly verdict: Verdict }[];
}

export class RiderDay {
  readonly rider: Rider;
  /** In order, on whatever day. */
  readonly runs: Run[] = [];
  /** One entry a counted run. */
  readonly spent: Spent[] = [];
  /** [look][pair]: look i is after i + 1 counted runs. */
  readonly looks: (readonly Verdict[])[] = [];
  /** Set-up and status of every ride in order, and the days' ends, as one text. */
  history = "";
  mounted: SetupId | null = null;
  minutes = 0;
  /** Counted runs at which every set-up first had a verdict against the leader. */
  decidedAt: number | null = null;
  /** What was said then. */
  decision: Decision | null = null;
  readonly #before: ComparisonInput;
  readonly #promises: Promises;
  readonly #shape: DayShape;
  readonly #stepAfter: number | null;
  readonly #bank: RowBank;
  #promise: RiderPromise;
  #look: Look | null = null;
  #standing: RiderStanding | undefined;
  readonly #counted: CountedRun[] = [];
  #end: PlannedEnd | null = null;
  #swaps = 0;
  #minutesBefore = 0;
  #day = 0;
  #k = 0;

  /**
   * @param before - the session before its first ride
   * @param stepAfter - place of every day after which a step of the ground is marked; null: never
   */
  constructor(
    before: ComparisonInput,
    rider: Rider,
    promises: Promises,
    shape: DayShape,
    stepAfter: number | null,
  ) {
    this.rider = rider;
    this.#before = before;
    this.#promises = promises;
    this.#shape = shape;
    this.#stepAfter = stepAfter;
    if (stepAfter !== null) this.history = `step after ${String(stepAfter)}:`;
    this.#promise = promises.toRider(rider, null);
    const { subject } = this.#promise;
    this.#bank = new RowBank(
      layoutOfDays(rider, shape, subject, (k) => this.#groundAt(k)),
      0,
    );
  }

  /** Counted runs so far. */
  get counted(): number {
    return this.looks.length;
  }

  get end(): PlannedEnd | null {
    return this.#end;
  }

  /** Of the session that the rider is in. */
  get seed(): number {
    return this.#before.settings.seed;
  }

  /** Every second rider of the sheet starts from the other end. */
  get isReversed(): boolean {
    return this.#before.riders.findIndex((each) => each.id === this.rider.id) % 2 === 1;
  }

  /** Counted runs of the day of the next ride. */
  get countedToday(): number {
    return this.counted - this.day * this.#shape.runsADay;
  }

  /** Minutes used on the day of the next ride. */
  get minutesToday(): number {
    return this.day === this.#day ? this.minutes - this.#minutesBefore : 0;
  }

  /** Day of the next ride, from 0: the last one goes on for ever. */
  get day(): number {
    const { days, runsADay } = this.#shape;
    return Math.min(days - 1, Math.floor(this.counted / runsADay));
  }

  /** k of the next ride if it is not a warm-up. */
  get nextK(): number {
    return this.day === this.#day ? this.#k + 1 : 1;
  }

  /** The session with this rider's runs alone. */
  get input(): ComparisonInput {
    const mounted = this.mounted === null ? {} : { [this.rider.id]: this.mounted };
    const plannedEnds = this.#end === null ? [] : [this.#end];
    // The advice takes the newest day with a run for the next ride's.
    const ground = this.#groundAt(this.#k + 1);
    return { ...this.#before, runs: this.runs, mounted, plannedEnds, ground };
  }

  /** Brings the end of the plan forward. */
  announce(end: PlannedEnd): void {
    this.#end = end;
    this.#promise = this.#promises.toRider(this.rider, end);
    this.history += ` end ${String(end.endRun)}`;
  }

  /** Who leads whom after the last counted run; undefined before the first. */
  standing(): RiderStanding | undefined {
    if (this.#standing !== undefined || this.#look === null) return this.#standing;
    const { subject, bandsOfPair, endRun } = this.#promise;
    const fit = riderFitAt(this.#look, this.counted, bandsOfPair);
    const [baseline = ""] = subject.setups;
    const standing = standingOf(fit, subject.setups, baseline);
    this.#standing = standing && {
      ...standing,
      counted: this.#counted,
      rankDf: fit.rankDf,
      setups: subject.setups.length,
      endRun,
    };
    return this.#standing;
  }

  take({ setup, status, timeS }: Ridden): void {
    const { lapMinutes } = this.#before.settings;
    if (this.day !== this.#day) {
      this.#day = this.day;
      this.#k = 0;
      this.#minutesBefore = this.minutes;
      this.history += " |";
    }
    if (status !== "warm-up") this.#k += 1;
    if (this.mounted !== null && this.mounted !== setup) {
      this.#swaps += 1;
      this.minutes += swapMinutes(this.#before.swaps, this.mounted, setup);
    }
    this.minutes += lapMinutes ?? 0;
    this.mounted = setup;
    this.history += ` ${setup}/${status}`;
    this.runs.push(this.#runOf({ setup, status, timeS }));
    if (status === "ok") this.#lookAgain();
  }

  #groundAt(k: number): number {
    return this.#stepAfter !== null && k > this.#stepAfter ? 1 : 0;
  }

  #lookAgain(): void {
    const { subject } = this.#promise;
    const newest = sortedRuns(this.input, [this.rider.id]).counted.at(-1);
    if (newest === undefined) throw new RangeError("a counted run counts");
    this.#bank.add(newest);
    this.#counted.push(newest);
    this.#look = new Look(this.#bank, subject);
    this.#standing = undefined;
    const verdicts = verdictsOf(this.#look, subject, this.counted + 1);
    this.looks.push(verdicts);
    this.spent.push({ swaps: this.#swaps, minutes: this.minutes });
    if (this.decidedAt !== null) return;
    this.decision = this.#decisionAt(verdicts);
    if (this.decision !== null) this.decidedAt = this.counted;
  }

  /**
   * The leader or everybody has a verdict against the baseline then, so looks without any verdict need
   * not be asked.
   */
  #decisionAt(verdicts: readonly Verdict[]): Decision | null {
    if (verdicts.every((verdict) => verdict === "cannot-tell")) return null;
    const standing = this.standing();
    if (standing?.isDecided !== true) return null;
    const { leader, rival, settled } = standing;
    const others = [rival, ...settled].map(({ setup, band }) => {
      if (band === null) throw new RangeError("who has a verdict has a band");
      return { setup, verdict: band.verdict };
    });
    return { leader, others };
  }

  #runOf({ setup, status, timeS }: Ridden): Run {
    return {
      runId: `${this.rider.id}.${String(this.runs.length + 1)}`,
      rider: this.rider.id,
      setup,
      day: this.#day,
      k: status === "warm-up" ? null : this.#k,
      ground: this.#groundAt(this.#k),
      status,
      startedAt: null,
      finishedAt: null,
      timeS,
      uncertaintyS: null,
      sectorS: [],
      voidSectors: [],
      lastGate: 1,
      reason: status === "void" ? "mistake" : null,
      isMarkedOk: false,
      timedBy: "import",
      provisional: false,
      flags: [],
      note: null,
    };
  }
}
