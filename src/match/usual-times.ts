// What a rider usually needs from one gate to another, from the runs before; used by the matcher to tell
// whether an overtaking is plausible.
import type { RiderId } from "../domain/session.ts";

/** Instants of a finished run at the gates, us; null where it was not seen. */
type GateInstants = readonly (number | null)[];

/** Runs of a rider, or of all, and what was worked out of them since the newest. */
interface Newest {
  /** Oldest first. */
  readonly runs: GateInstants[];
  readonly known: Map<number, Usual | null>;
}

/** The newest sure runs. The matcher's own: it adds to it as it goes through a day. */
export interface UsualTimes {
  readonly ofRider: Map<RiderId, Newest>;
  readonly ofAll: Newest;
}

/** What is usual, and how far from it a run without trouble lies. */
export interface Usual {
  readonly usualUs: number;
  readonly spreadUs: number;
}

/** chosen: recent enough to follow the day's trend, many enough for a median; overtaking-rates.test.ts. */
const REMEMBERED = 12;
/** chosen: a median and a spread of fewer say nothing; overtaking-rates.test.ts. */
const ENOUGH = 3;
/** More gates than a stretch has, so that every pair of them has a number of its own. */
const MOST_GATES = 1000;
/** Normal scatter from the median deviation: 1 / 0.6745, a normal distribution's upper quartile. */
const FROM_MEDIAN_DEVIATION = 1.4826;
/**
 * chosen: least spread that is believed, as a share of the usual time: a rider's own runs (other
 * set-ups, up to speed), those of everybody, and the figure on the sheet; overtaking-rates.test.ts.
 */
const LEAST_OWN = 0.035;
const LEAST_ALL = 0.08;
const OF_SHEET = 0.12;

/** Nobody has finished yet. */
export function noUsualTimes(): UsualTimes {
  return { ofRider: new Map(), ofAll: none() };
}

function none(): Newest {
  return { runs: [], known: new Map() };
}

/** Adds a run whose passings are surely its own. */
export function addUsual(usual: UsualTimes, rider: RiderId, at: GateInstants): void {
  const own = usual.ofRider.get(rider) ?? none();
  for (const { runs, known } of [own, usual.ofAll]) {
    runs.push(at);
    if (runs.length > REMEMBERED) runs.shift();
    known.clear();
  }
  usual.ofRider.set(rider, own);
}

function median(ascending: readonly number[]): number {
  const n = ascending.length;
  const high = ascending[n >> 1] ?? 0;
  return ((ascending[(n - 1) >> 1] ?? high) + high) / 2;
}

function of({ runs, known }: Newest, from: number, to: number, least: number): Usual | null {
  const key = from * MOST_GATES + to;
  const before = known.get(key);
  if (before !== undefined) return before;
  const usual = workedOut(runs, from, to, least);
  known.set(key, usual);
  return usual;
}

function workedOut(
  runs: readonly GateInstants[],
  from: number,
  to: number,
  least: number,
): Usual | null {
  const travels: number[] = [];
  for (const at of runs) {
    const a = at[from] ?? null;
    const b = at[to] ?? null;
    if (a !== null && b !== null) travels.push(b - a);
  }
  if (travels.length < ENOUGH) return null;
  const usualUs = median(travels.sort((a, b) => a - b));
  const away = travels.map((travel) => Math.abs(travel - usualUs)).sort((a, b) => a - b);
  return {
    usualUs,
    spreadUs: Math.max(FROM_MEDIAN_DEVIATION * median(away), least * usualUs),
  };
}

/**
 * What a rider usually needs between two gates: by the rider's own newest runs, else by everybody's,
 * else (whole run) by the sheet's expected time.
 *
 * @param wholeUs - expected time of the whole run; null if the sheet names none, or for a part of it
 * @returns null if nothing is known
 */
export function usualTime(
  { ofRider, ofAll }: UsualTimes,
  rider: RiderId,
  [from, to]: readonly [number, number],
  wholeUs: number | null,
): Usual | null {
  return (
    of(ofRider.get(rider) ?? none(), from, to, LEAST_OWN) ??
    of(ofAll, from, to, LEAST_ALL) ??
    (wholeUs === null ? null : { usualUs: wholeUs, spreadUs: OF_SHEET * wholeUs })
  );
}
