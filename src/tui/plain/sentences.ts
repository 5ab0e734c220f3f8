// What happened between two summaries, one sentence an event: for `--plain`, pipes, logs and braille
// lines; called by the cli wherever there is no screen.
import type { Run } from "../../domain/run.ts";
import type { SessionUs } from "../../domain/time.ts";
import { awaitingAnswers, missingAspects } from "../../summary/asked-first.ts";
import type { Summary } from "../../summary/summary.ts";
import { reasonWhileHidden } from "../blind-words.ts";
import { riderName } from "../look.ts";
import { safeText } from "../present/safe-text.ts";
import { clockTime } from "../present/seconds.ts";
import { gateNames, passingWords } from "../run-words.ts";
import { comparisonSentences, nextSentences, remarkSentences } from "./comparison-sentences.ts";
import { type IsTimeHidden, runSentences, setupWords, timeSentence } from "./run-sentences.ts";

export interface SentenceOptions {
  /** Leaves out whatever gives the standing away. */
  readonly isBlind?: boolean;
}

/**
 * One sentence an event, without a full stop; nothing in them drives a terminal.
 *
 * @param before - null at the beginning: then how things stand
 */
export function sentencesBetween(
  before: Summary | null,
  after: Summary,
  options: SentenceOptions = {},
): readonly string[] {
  const isHidden = options.isBlind === true && !after.isClosed;
  const wasHidden = options.isBlind === true && before?.isClosed === false;
  const standing = isHidden
    ? fitSentences(before, after)
    : standingSentences(wasHidden ? null : before, after);
  return [...eventSentences(before, after, () => isHidden), ...standing];
}

/**
 * Tells what happened since it was last asked: riders who are asked how a run was hear its time and
 * the standing after their answers, or once these are given up.
 *
 * @returns a function to be called at each change, and once a second
 */
export function createSentenceTeller({
  isBlind = false,
}: SentenceOptions): (summary: Summary, now: SessionUs) => readonly string[] {
  let seen: Summary | null = null;
  let told: Summary | null = null;
  let waiting: readonly Run[] = [];
  return (summary, now) => {
    const isHidden = isBlind && !summary.isClosed;
    const asked = awaitingAnswers(summary, now);
    const isAsked = (run: Run): boolean => asked.some((each) => each.runId === run.runId);
    const due = summary.runs.filter(
      (run) => !isAsked(run) && waiting.some((each) => each.runId === run.runId),
    );
    const sentences = [
      ...eventSentences(seen, summary, (run) => isHidden || isAsked(run)),
      ...asked.filter((run) => !waiting.some((each) => each.runId === run.runId)).map(questionOf),
      ...(isHidden ? [] : due.map((run) => timeSentence(summary, run))),
      ...(isHidden || asked.length > 0
        ? fitSentences(seen, summary)
        : standingSentences(told, summary)),
    ];
    if (!isHidden && asked.length === 0) told = summary;
    seen = summary;
    waiting = asked;
    return sentences;

    function questionOf({ runId, rider }: Run): string {
      const aspects = safeText(missingAspects(summary, runId).join(", "));
      return `${riderName(summary, rider)}, how was it? ${aspects}: tell the operator`;
    }
  };
}

/** What happened, or at the beginning where the day is. */
function eventSentences(
  before: Summary | null,
  after: Summary,
  isTimeHidden: IsTimeHidden,
): readonly string[] {
  if (before === null) return [openingSentence(after)];
  return [
    ...courseSentences(before, after),
    ...portSentences(before, after),
    ...runSentences(before, after, isTimeHidden),
    ...passingSentences(before, after),
    ...swapSentences(before, after),
    ...noteSentences(before, after),
    ...faultSentences(before, after),
  ];
}

/** @param told - the last whose standing was said, or null */
function standingSentences(told: Summary | null, after: Summary): readonly string[] {
  return [
    ...comparisonSentences(told, after),
    ...remarkSentences(told, after),
    ...nextSentences(told, after),
  ];
}

function openingSentence(summary: Summary): string {
  const { stretch, name } = summary.settings;
  const finished = summary.runs.filter((run) => run.timeS !== null).length;
  const riding = summary.onCourse.map((each) => riderName(summary, each.run.rider));
  const who = riding.length === 0 ? "" : `, on course: ${riding.join(", ")}`;
  const runs = `${String(finished)} ${finished === 1 ? "run" : "runs"} so far`;
  return `${safeText(stretch)}, ${safeText(name)}: ${runs}${who}`;
}

/** Only what to fit, for those who must not know the standing, and what keeps a rider from riding. */
function fitSentences(before: Summary | null, after: Summary): readonly string[] {
  const { rider, setup, stop } = after.comparison.next;
  const earlier = before?.comparison.next;
  if (after.isClosed) return [];
  if (rider === null || setup === null) {
    const because = reasonWhileHidden(after);
    const isSaid = earlier?.setup === null && earlier.rider === rider && earlier.stop === stop;
    return because === "" || isSaid ? [] : [`next: ${because}`];
  }
  if (earlier?.rider === rider && earlier.setup === setup) return [];
  return [`next: ${riderName(after, rider)} on ${setupWords(after, setup)}`];
}

function courseSentences(before: Summary, after: Summary): readonly string[] {
  const sentences: string[] = [];
  if (before.heldBecause !== after.heldBecause) {
    const held = after.heldBecause;
    sentences.push(held === null ? "the course is open" : `COURSE HELD: ${safeText(held)}`);
  }
  if (before.isClosed !== after.isClosed) {
    sentences.push(after.isClosed ? "the session is closed" : "the session is open again");
  }
  const { marginS } = after.settings;
  if (before.settings.marginS !== marginS) {
    sentences.push(`worth having: ${marginS === null ? "not said" : `${String(marginS)} s`}`);
  }
  return sentences;
}

function portSentences(before: Summary, after: Summary): readonly string[] {
  return after.ports.flatMap((port) => {
    const earlier = before.ports.find((each) => each.port === port.port);
    if (earlier?.isOpen === port.isOpen) return [];
    const reason = port.reason === null ? "" : `: ${port.reason}`;
    return safeText(port.isOpen ? `port ${port.port} open` : `PORT CLOSED: ${port.port}${reason}`);
  });
}

/** Passings that are in no run and may need a decision. */
function passingSentences(before: Summary, after: Summary): readonly string[] {
  const known = new Set(before.loosePassings.map((passing) => passing.passingId));
  const names = gateNames(after.gates);
  return after.loosePassings
    .filter((passing) => !known.has(passing.passingId))
    .map((passing) => {
      const clock = clockTime(passing.at, after.settings.zone, true);
      const gate = passing.gate === null ? "a gate" : (names[passing.gate] ?? "a gate");
      return `${clock} passing at ${gate}, not in a run: ${passingWords(passing)}`;
    });
}

function swapSentences(before: Summary, after: Summary): readonly string[] {
  const known = new Set(before.swaps.map((swap) => swap.entrySeq));
  const holds = new Set(after.swaps.map((swap) => swap.entrySeq));
  const undone = before.swaps.filter((swap) => !holds.has(swap.entrySeq));
  return [
    ...undone.map((swap) => `swap to ${safeText(swap.toSetup)} taken back`),
    ...after.swaps
      .filter((swap) => !known.has(swap.entrySeq))
      .map((swap) => {
        const clock = clockTime(swap.at, after.settings.zone, true);
        const setup = setupWords(after, swap.toSetup);
        return `${clock} ${setup} fitted for ${riderName(after, swap.rider)}`;
      }),
  ];
}

function noteSentences(before: Summary, after: Summary): readonly string[] {
  const notes = new Set(before.notes.map((note) => note.entrySeq));
  const incidents = new Set(before.incidents.map((incident) => incident.entrySeq));
  const newNotes = after.notes.filter((note) => !notes.has(note.entrySeq));
  const newIncidents = after.incidents.filter((each) => !incidents.has(each.entrySeq));
  return [
    ...newIncidents.map((each) => {
      const sector = each.sector === null ? "" : (after.sectors[each.sector - 1] ?? "");
      return safeText(`${each.kind} noted${sector === "" ? "" : ` in ${sector}`}`);
    }),
    ...newNotes.map((note) => safeText(`${note.kind}: ${note.text}`)),
  ];
}

function faultSentences(before: Summary, after: Summary): readonly string[] {
  const count = after.faults.unreadable - before.faults.unreadable;
  if (count <= 0) return [];
  const newest = after.faults.recent.at(-1);
  const why = newest === undefined ? "" : `, the last one ${safeText(newest.text)}`;
  return [`${String(count)} unreadable ${count === 1 ? "line" : "lines"}${why}`];
}
