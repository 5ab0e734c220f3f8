// Could one rider have overtaken another? Whether two nameless passings may be the other way round;
// used by the matcher for each finish and split that more than one open run could take.
import type { OpenRun } from "./open-run.ts";
import type { Usual } from "./usual-times.ts";

/** chosen: one run in so many has a fall, a stop or a mechanical in it; overtaking-rates.test.ts. */
const TROUBLE = 0.08;
/** chosen: trouble costs this share of the usual time on average; overtaking-rates.test.ts. */
const COSTS = 0.25;
/**
 * chosen: twenty times less likely the other way round is clearly first in, first out;
 * overtaking-rates.test.ts counts what that lets pass.
 */
const CLEARLY = 1 / 20;

/** Two runs, one of which took a passing that the other could have taken. */
export interface Doubt {
  readonly gate: number;
  /** Took it. */
  readonly taker: OpenRun;
  readonly other: OpenRun;
  /** Last gate before it that both were seen at. */
  readonly from: number;
  /** What they need from there; null: nothing is known. */
  readonly usual: { readonly taker: Usual; readonly other: Usual } | null;
}

/**
 * How likely a travel time is, up to a factor: scatter about what is usual (normal), now and then with
 * trouble, which only ever costs time (exponential).
 */
function likelihood(travelUs: number, { usualUs, spreadUs }: Usual): number {
  const z = (travelUs - usualUs) / spreadUs;
  const ridden = Math.exp((-z * z) / 2) / (spreadUs * Math.sqrt(2 * Math.PI));
  const costsUs = COSTS * usualUs;
  const troubled = z < 0 ? 0 : Math.exp((usualUs - travelUs) / costsUs) / costsUs;
  return (1 - TROUBLE) * ridden + TROUBLE * troubled;
}

function travelUs(run: OpenRun, from: number, atUs: number): number {
  return atUs - (run.passings[from]?.at ?? run.start.at);
}

/**
 * How much likelier the passings are the other way round. While the other has not passed that gate,
 * by the one passing alone.
 */
function crossedRatio({ gate, taker, other, from, usual }: Doubt, takenUs: number): number {
  if (usual === null) return 1;
  const asTaken = likelihood(travelUs(taker, from, takenUs), usual.taker);
  const crossed = likelihood(travelUs(other, from, takenUs), usual.other);
  const otherUs = other.passings[gate]?.at ?? null;
  if (otherUs === null) return crossed / Math.max(asTaken, Number.MIN_VALUE);
  const otherAsTaken = likelihood(travelUs(other, from, otherUs), usual.other);
  const otherCrossed = likelihood(travelUs(taker, from, otherUs), usual.taker);
  return (crossed * otherCrossed) / Math.max(asTaken * otherAsTaken, Number.MIN_VALUE);
}

/** True if the passings may be the other way round: not clearly less likely so. */
export function isInDoubt(doubt: Doubt, takenUs: number): boolean {
  return crossedRatio(doubt, takenUs) >= CLEARLY;
}

/** Last gate before another that both runs were seen at; 0 the start. */
export function lastCommonGate(a: OpenRun, b: OpenRun, before: number): number {
  for (let gate = before - 1; gate > 0; gate -= 1) {
    if (a.passings[gate] != null && b.passings[gate] != null) return gate;
  }
  return 0;
}

/** The run that is first in at a gate: the oldest start that none was ahead of where both were seen. */
export function firstIn(candidates: readonly OpenRun[], gate: number): OpenRun | undefined {
  return candidates.reduce<OpenRun | undefined>((first, run) => {
    if (first === undefined) return run;
    const at = lastCommonGate(first, run, gate);
    return (run.passings[at]?.at ?? 0) < (first.passings[at]?.at ?? 0) ? run : first;
  }, undefined);
}
