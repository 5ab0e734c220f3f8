// Everything that is shown, worked out once from the fold of the journal: one Summary feeds the
// console, the board, the derived tables and every export.
import { adviseNext, type EarlierEnd } from "../advisor/next-setup.ts";
import type { Alternative, Comparison, ComparisonInput } from "../domain/comparison.ts";
import { UserError } from "../domain/errors.ts";
import type { Exploration } from "../domain/exploration.ts";
import type { FoundCheck } from "../domain/explored.ts";
import type { Passing } from "../domain/passing.ts";
import type { Run } from "../domain/run.ts";
import { baselineOf, type Settings, type SetupId } from "../domain/session.ts";
import type { SessionUs } from "../domain/time.ts";
import type { Session } from "../session/session.ts";
import { compareRiders } from "../stats/compare.ts";
import { afterRuns } from "../stats/counted-runs.ts";
import { compareTogether } from "../stats/together.ts";
import { comparisonInput } from "./comparison-input.ts";
import { type MadeSession, withPromise } from "./declared-days.ts";
import {
  type Exploring,
  explorationOf,
  exploredParts,
  type ValuesRidden,
  valuesRidden,
} from "./exploration.ts";
import { feelOf } from "./feel.ts";
import { checkInput, foundCheckOf } from "./found-check.ts";
import { mendedRemarks, unconfirmedRemarks } from "./mended.ts";
import { type OnCourse, onCourse } from "./on-course.ts";
import { remarksOn } from "./remarks/remarks.ts";

/** The session as the fold gives it, and what follows from it. */
export interface Summary extends Session {
  /** With the promise that holds: see `withPromise`. */
  readonly settings: Settings;
  readonly sectors: readonly string[];
  readonly baseline: SetupId;
  readonly onCourse: readonly OnCourse[];
  /** The newest finished run, or null. */
  readonly lastFinished: Run | null;
  /** Passings in no run that the operator may have to decide on, newest last. */
  readonly loosePassings: readonly Passing[];
  readonly comparison: Comparison;
  readonly alternatives: readonly Alternative[];
  /** Proposed from the clock alone: the plan could end there; null if there is no need. */
  readonly earlierEnd: EarlierEnd | null;
  /** First start of the day, or null. */
  readonly firstStartAt: SessionUs | null;
  /**
   * What the runs at values tried say, those before the closing check; null where nothing is explored,
   * or while the present set-up has no value inside the limits.
   */
  readonly exploration: Exploration | null;
  /** The values that it rests on; empty where nothing is explored. */
  readonly ridden: readonly ValuesRidden[];
  /** The closing check: the comparison is its own from then on. Null too if its set-up is no other one. */
  readonly check: FoundCheck | null;
}

/** The comparison with the advice that belongs to it. */
interface Compared {
  readonly comparison: Comparison;
  readonly alternatives: readonly Alternative[];
  readonly earlierEnd: EarlierEnd | null;
  readonly exploration: Exploration | null;
  readonly ridden: readonly ValuesRidden[];
}

/** What one comparison gives. */
type PlainlyCompared = Omit<Compared, "exploration" | "ridden">;

/** What everything worked out rests on. */
interface Basis {
  /** All runs. */
  readonly input: ComparisonInput;
  readonly exploring: Exploring | null;
}

interface Figures extends Compared {
  readonly basis: Basis;
}

const known = new WeakMap<Summary, Figures>();

/**
 * Works the summary out.
 *
 * @param folded - the fold of a journal that has a `session-made` in it
 * @param before - an earlier summary of the same journal: its comparison is kept if no run that
 *   counts for it has changed
 * @throws {RangeError} if the journal does not say what the session is
 */
export function summarise(folded: Session, before?: Summary): Summary {
  const { settings } = folded;
  if (settings === null) throw new RangeError("summarise requires a session that was made");
  const session = withPromise({ ...folded, settings });
  const input = comparisonInput(session);
  const exploring = exploringOf(session);
  const figures = figuresOf(
    { input, exploring },
    before === undefined ? undefined : known.get(before),
  );
  const finished = session.runs.filter(
    (run) => run.finishedAt !== null || run.timedBy === "import",
  );
  const summary: Summary = {
    ...session,
    sectors: input.sectors,
    baseline: baselineOf(session.setups).id,
    onCourse: onCourse(session),
    lastFinished: newest(finished),
    loosePassings: session.passings.filter((passing) => isLoose(passing, session.riders.length)),
    comparison: withMended(figures.comparison, session),
    alternatives: figures.alternatives,
    earlierEnd: figures.earlierEnd,
    firstStartAt: firstStart(session),
    exploration: figures.exploration,
    ridden: figures.ridden,
    check: exploring?.check ?? null,
  };
  known.set(summary, figures);
  return summary;
}

/** What only the passings tell comes last. */
function withMended(comparison: Comparison, session: MadeSession): Comparison {
  const remarks = [...unconfirmedRemarks(session), ...mendedRemarks(session)];
  return remarks.length === 0
    ? comparison
    : { ...comparison, remarks: [...comparison.remarks, ...remarks] };
}

/**
 * The comparison as it stood after each rider's first `n` counted runs; of the closing check once it
 * has begun.
 *
 * @throws {UserError} `wrong-usage` if no rider has that many
 */
export function compareAfter(summary: Summary, n: number): Comparison {
  return comparedAfter(summary, n).comparison;
}

/** What the values tried said after `n` counted runs; once the check has begun, all of them. */
export function exploreAfter(summary: Summary, n: number): Exploration | null {
  return comparedAfter(summary, n).exploration;
}

function comparedAfter(summary: Summary, n: number): Compared {
  const figures = known.get(summary) ?? unknownSummary();
  const most = Math.max(0, ...summary.comparison.riders.map((rider) => rider.counted_runs));
  if (n > most) {
    throw new UserError(
      "wrong-usage",
      `--after ${String(n)}: there are only ${String(most)} counted runs`,
      `give a number from 0 to ${String(most)}`,
    );
  }
  const { input, exploring } = figures.basis;
  if (exploring?.check == null) return compare({ input: afterRuns(input, n), exploring });
  const check = afterRuns(checkInput(input, exploring.check), n);
  return { ...compareCheck(check), exploration: summary.exploration, ridden: summary.ridden };
}

function unknownSummary(): never {
  throw new TypeError("compareAfter requires a summary made by summarise");
}

/** What is explored; null in a session that compares declared set-ups. */
function exploringOf(session: MadeSession): Exploring | null {
  const { explored } = session;
  return explored === null ? null : { explored, check: foundCheckOf(session) };
}

/** The whole comparison, as `compare --json` prints it, and the other set-ups that could be next. */
function compare({ input, exploring }: Basis): Compared {
  if (exploring === null) return { ...compareInput(input), exploration: null, ridden: [] };
  const exploration = explorationOf(input, exploring);
  const ridden = valuesRidden(input, exploring);
  if (exploring.check !== null) {
    return { ...compareCheck(checkInput(input, exploring.check)), exploration, ridden };
  }
  const { riders, next, remarks } = exploredParts(input, exploring, exploration);
  return {
    comparison: comparisonOf(input, { riders, together: null, next, remarks }),
    alternatives: [],
    earlierEnd: null,
    exploration,
    ridden,
  };
}

/** The check is as long as it was said to be: its end can't be brought forward. */
function compareCheck(input: ComparisonInput): PlainlyCompared {
  const compared = compareInput(input);
  if (compared.earlierEnd === null) return compared;
  const { runsLeft } = compared.earlierEnd;
  const untimed = compareInput({ ...input, settings: { ...input.settings, minutes: null } });
  const { next } = untimed.comparison;
  const because = `${next.because}; time for ${String(runsLeft)} more`;
  return {
    ...untimed,
    comparison: { ...untimed.comparison, next: { ...next, because } },
    earlierEnd: null,
  };
}

function compareInput(input: ComparisonInput): PlainlyCompared {
  const riders = compareRiders(input);
  const advice = adviseNext(input, riders);
  const together = compareTogether(input);
  const remarks = remarksOn({ input, riders, together });
  return {
    comparison: comparisonOf(input, { riders, together, next: advice.next, remarks }),
    alternatives: advice.alternatives,
    earlierEnd: advice.earlierEnd,
  };
}

function comparisonOf(
  input: ComparisonInput,
  parts: Pick<Comparison, "riders" | "together" | "next" | "remarks">,
): Comparison {
  const { settings } = input;
  return {
    format: "swaplap-comparison",
    version: 1,
    feel: feelOf(input),
    session: { name: settings.name, stretch: settings.stretch, date: settings.date },
    settings: {
      bands: settings.bands,
      confidence: settings.confidence,
      drift: settings.drift,
      spreads: settings.spreads,
      margin_s: settings.marginS,
      planned_runs: settings.plannedRuns,
      planned_end: input.plannedEnds[0]?.endRun ?? null,
      baseline: baselineOf(input.setups).id,
      ...(settings.mainSetup === null ? {} : { main: settings.mainSetup }),
    },
    ...parts,
  };
}

function figuresOf(basis: Basis, before: Figures | undefined): Figures {
  const isSame =
    before !== undefined &&
    isSameInput(basis.input, before.basis.input) &&
    JSON.stringify(basis.exploring) === JSON.stringify(before.basis.exploring);
  return isSame ? before : { basis, ...compare(basis) };
}

/** By value: deriving a session makes all of it afresh, though nearly nothing in it has changed. */
function isSameInput(a: ComparisonInput, b: ComparisonInput): boolean {
  return (
    a.runs.length === b.runs.length &&
    a.runs.every((run, i) => isSameRun(run, b.runs[i])) &&
    JSON.stringify({ ...a, runs: null }) === JSON.stringify({ ...b, runs: null })
  );
}

/**
 * Without what no figure and no remark rests on: how sure a time is, what is noted on a run, splits
 * of a run that is not over.
 */
function isSameRun(a: Run, b: Run | undefined): boolean {
  return (
    b !== undefined &&
    a.runId === b.runId &&
    a.rider === b.rider &&
    a.setup === b.setup &&
    a.day === b.day &&
    a.k === b.k &&
    a.status === b.status &&
    a.reason === b.reason &&
    a.isMarkedOk === b.isMarkedOk &&
    a.startedAt === b.startedAt &&
    a.finishedAt === b.finishedAt &&
    a.timeS === b.timeS &&
    (a.status === "on-course" || isSameList(a.sectorS, b.sectorS)) &&
    isSameList(a.voidSectors, b.voidSectors)
  );
}

function isSameList(a: readonly (number | null)[], b: readonly (number | null)[]): boolean {
  return a.length === b.length && a.every((value, i) => value === b[i]);
}

/**
 * True if the operator may have to decide on it. A second trip of the start beam is the same rider
 * where there is one; where there are several it can be the next one, close behind.
 */
function isLoose({ state, gate, source }: Passing, riders: number): boolean {
  if (state === "double") return riders > 1 && gate === 0 && source === "beam";
  return state === "orphan" || state === "not-a-bike" || state === "unknown-time";
}

/** @param runs - in run order: the newest day's last */
function newest(runs: readonly Run[]): Run | null {
  const isNewer = (run: Run, than: Run): boolean =>
    run.day > than.day || (run.finishedAt ?? 0) >= (than.finishedAt ?? 0);
  return runs.reduce<Run | null>(
    (found, run) => (found === null || isNewer(run, found) ? run : found),
    null,
  );
}

function firstStart({ runs, daySheets }: Session): SessionUs | null {
  const isToday = (run: Run): boolean => run.day >= daySheets.length - 1;
  return runs.find((run) => isToday(run) && run.startedAt !== null)?.startedAt ?? null;
}
