// Which runs may be the other way round, as passing follows passing; called by the matcher when a finish
// or split could be of more than one open run, and when a run has passed a gate.
import { hasSureFinish, holds, type Matching } from "./matching.ts";
import { type OpenRun, riderOf } from "./open-run.ts";
import { type Doubt, isInDoubt, lastCommonGate } from "./overtaking.ts";
import { addUsual, type Usual, usualTime } from "./usual-times.ts";

/** chosen: as far from the usual time as a ride without trouble comes; overtaking-rates.test.ts. */
const FITS_SPREADS = 3;

function usualOf(m: Matching, run: OpenRun, from: number, to: number): Usual | null {
  const { expectedS, finishGate } = m.input;
  const isWhole = from === 0 && to === finishGate;
  const wholeUs = isWhole && expectedS !== null ? expectedS * 1e6 : null;
  return usualTime(m.usual, riderOf(run), [from, to], wholeUs);
}

/** What both need up to a gate: from where both were seen last, else the whole run. */
function weighed(m: Matching, taker: OpenRun, other: OpenRun, gate: number): Doubt {
  const common = lastCommonGate(taker, other, gate);
  for (const from of common === 0 ? [0] : [common, 0]) {
    const [a, b] = [usualOf(m, taker, from, gate), usualOf(m, other, from, gate)];
    if (a !== null && b !== null)
      return { gate, taker, other, from, usual: { taker: a, other: b } };
  }
  return { gate, taker, other, from: 0, usual: null };
}

/**
 * Notes with which others the run that takes a passing may be the other way round. With nothing known of
 * how long they need, any other may have finished; at a split nothing is said then.
 */
export function doubtOthers(
  m: Matching,
  taker: OpenRun,
  candidates: readonly OpenRun[],
  gate: number,
  at: number,
): void {
  const doubts = candidates
    .filter((other) => other !== taker)
    .map((other) => weighed(m, taker, other, gate))
    .filter((doubt) => doubt.usual !== null || gate === m.input.finishGate)
    .filter((doubt) => isInDoubt(doubt, at));
  if (doubts.length > 0) m.doubts = [...m.doubts, ...doubts];
}

/**
 * Whose split it is: the first in to whose usual time it fits, for a beam may have missed another or
 * another may have stopped. Nobody's, or nothing known: the first in.
 */
export function firstThatFits(
  m: Matching,
  candidates: readonly OpenRun[],
  gate: number,
  at: number,
): OpenRun | undefined {
  const [first] = candidates;
  if (candidates.length < 2) return first;
  const fits = candidates.find((run) => {
    const usual = usualOf(m, run, 0, gate);
    if (usual === null) return true;
    return Math.abs(at - run.start.at - usual.usualUs) <= FITS_SPREADS * usual.spreadUs;
  });
  return fits ?? first;
}

function isSure(m: Matching, run: OpenRun): boolean {
  if (run.finish === null) return false;
  if (hasSureFinish(m, run)) return true;
  return !m.doubts.some((d) => (d.taker === run || d.other === run) && holds(m, d));
}

function remember(m: Matching, run: OpenRun): void {
  if (m.isUsual.has(run) || !isSure(m, run)) return;
  m.isUsual.add(run);
  addUsual(
    m.usual,
    riderOf(run),
    run.passings.map((passing) => passing?.at ?? null),
  );
}

/** A run has passed a gate: doubts about that gate may be over, and its times tell what is usual. */
export function passed(m: Matching, run: OpenRun, gate: number): void {
  const about = m.doubts.filter((d) => d.gate === gate && (d.taker === run || d.other === run));
  const over = about.filter(({ taker, other, ...doubt }) => {
    const taken = taker.passings[gate] ?? null;
    const otherTaken = other.passings[gate] ?? null;
    if (taken === null || otherTaken === null) return false;
    return !isInDoubt({ ...doubt, taker, other }, taken.at);
  });
  if (over.length > 0) m.doubts = m.doubts.filter((d) => !over.includes(d));
  for (const doubt of about) {
    remember(m, doubt.taker);
    remember(m, doubt.other);
  }
  remember(m, run);
}
