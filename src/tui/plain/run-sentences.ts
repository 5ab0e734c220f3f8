// What happened to the runs between two summaries, one sentence an event; called by sentences.ts.
import type { Run } from "../../domain/run.ts";
import type { Summary } from "../../summary/summary.ts";
import { riderName } from "../look.ts";
import { safeText } from "../present/safe-text.ts";
import { clockTime, runTime } from "../present/seconds.ts";
import { gateNames, runName, statusWord, timeOfRun } from "../run-words.ts";

/** `A No insert`: words only, no shapes. */
export function setupWords(summary: Summary, id: string): string {
  const name = safeText(summary.setups.find((setup) => setup.id === id)?.name ?? "");
  return `${safeText(id)} ${name}`.trimEnd();
}

/** Whether a run's time must not be said (yet). */
export type IsTimeHidden = (run: Run) => boolean;

/** Starts, splits, finishes, strikes and corrections, in the order of the runs. */
export function runSentences(
  before: Summary,
  after: Summary,
  isTimeHidden: IsTimeHidden,
): readonly string[] {
  const known = new Map(before.runs.map((run) => [run.runId, run]));
  const isHeld = new Set(after.runs.map((run) => run.runId));
  const gone = before.runs.filter((run) => !isHeld.has(run.runId));
  return [
    ...gone.map((run) => `${nameOf(before, run)} is taken back`),
    ...after.runs.flatMap((run) =>
      changeSentences(after, known.get(run.runId), run, isTimeHidden(run)),
    ),
  ];
}

function nameOf(summary: Summary, run: Run): string {
  return `${runName(run)} of ${riderName(summary, run.rider)}`;
}

/** A run's time once it may be said. */
export function timeSentence(summary: Summary, run: Run): string {
  return `${nameOf(summary, run)}: ${timeOfRun(run)}`;
}

function changeSentences(
  summary: Summary,
  before: Run | undefined,
  run: Run,
  isHidden: boolean,
): readonly string[] {
  const sentences: string[] = [];
  if (before === undefined && run.startedAt !== null) sentences.push(startSentence(summary, run));
  sentences.push(...splitSentences(summary, before, run, isHidden));
  const isFinished = run.timeS !== null;
  if (isFinished && before?.timeS == null) {
    sentences.push(finishSentence(summary, run, isHidden));
  } else if (before !== undefined && isFinished && !isHidden && isOtherTime(before, run)) {
    sentences.push(`${nameOf(summary, run)}: the time is ${timeOfRun(run)} now`);
  }
  if (isNewStatus(before, run)) sentences.push(statusSentence(summary, run));
  if (before !== undefined && before.rider !== run.rider) {
    sentences.push(`${runName(run)} was ridden by ${riderName(summary, run.rider)}`);
  }
  if (before !== undefined && before.setup !== run.setup) {
    sentences.push(`${nameOf(summary, run)} was ridden on ${setupWords(summary, run.setup)}`);
  }
  if (before !== undefined && before.voidSectors.join() !== run.voidSectors.join()) {
    const sectors = run.voidSectors.map((n) => safeText(summary.sectors[n - 1] ?? String(n)));
    const which = sectors.length === 0 ? "no sector" : sectors.join(", ");
    sentences.push(`${nameOf(summary, run)}: ${which} void`);
  }
  return sentences;
}

/** A clock fit that gets sharper moves a time by a little all day: said only beyond what was stated. */
function isOtherTime(before: Run, run: Run): boolean {
  const movedS = Math.abs((run.timeS ?? 0) - (before.timeS ?? 0));
  return movedS > 3 * (before.uncertaintyS ?? 0) && timeOfRun(run) !== timeOfRun(before);
}

function startSentence(summary: Summary, run: Run): string {
  const clock =
    run.startedAt === null ? "" : `${clockTime(run.startedAt, summary.settings.zone, true)} `;
  return `${clock}${riderName(summary, run.rider)} started on ${setupWords(summary, run.setup)}`;
}

/** Gates passed since, but for the finish: the finish has a sentence of its own. */
function splitSentences(
  summary: Summary,
  before: Run | undefined,
  run: Run,
  isHidden: boolean,
): readonly string[] {
  const names = gateNames(summary.gates);
  const from = (before?.lastGate ?? 0) + 1;
  const sentences: string[] = [];
  for (let gate = from; gate <= Math.min(run.lastGate, names.length - 2); gate++) {
    const sectors = run.sectorS.slice(0, gate);
    const splitS = sectors.reduce<number | null>(
      (sum, timeS) => (sum === null || timeS === null ? null : sum + timeS),
      0,
    );
    // A split that was missed is passed all the same, but nobody saw it.
    if (splitS === null) continue;
    const name = riderName(summary, run.rider);
    const after = isHidden ? "" : ` after ${runTime(splitS, 2)}`;
    sentences.push(`${name} passed ${names[gate] ?? ""}${after}`);
  }
  return sentences;
}

function finishSentence(summary: Summary, run: Run, isHidden: boolean): string {
  const name = riderName(summary, run.rider);
  // With the clock at the start, the clock at the finish is the time.
  const clock =
    run.finishedAt === null || isHidden
      ? ""
      : `${clockTime(run.finishedAt, summary.settings.zone, true)} `;
  const how = run.timedBy === "hand" ? ", by hand" : "";
  const on = setupWords(summary, run.setup);
  const time = isHidden ? "" : `: ${timeOfRun(run)}`;
  return `${clock}${name} finished ${runName(run)} on ${on}${time}${how}`;
}

/** A start and a plain finish say their status themselves. */
function isNewStatus(before: Run | undefined, run: Run): boolean {
  if (run.status === "on-course" || before?.status === run.status) return false;
  const wasRiding = before === undefined || before.status === "on-course";
  return run.status !== "ok" || !wasRiding;
}

function statusSentence(summary: Summary, run: Run): string {
  const name = nameOf(summary, run);
  if (run.status === "ok") return `${name} counts`;
  if (run.status === "warm-up") return `${riderName(summary, run.rider)}: that was a warm-up`;
  if (run.status === "unsure") {
    const why = run.flags.length === 0 ? "" : `: ${run.flags.map(safeText).join(", ")}`;
    return `${name} does not count until the operator decides${why}`;
  }
  const reason = run.reason === null ? "" : `: ${safeText(run.reason)}`;
  return `${name} is ${statusWord(run)}${reason}`;
}
