// Which parts were on the bike, as far as transponders on them and the operator's word say; called by
// `dayFacts` and by the console.
import type { PartRead } from "../domain/day-facts.ts";
import { type Gear, partOfTag } from "../domain/gear.ts";
import { SETUP_CONFIRMED_KEY } from "../domain/measure-keys.ts";
import type { Run } from "../domain/run.ts";
import type { Session } from "../session/session.ts";

type TagBasis = Pick<Session, "gear" | "passings" | "runs" | "riders">;
type ConfirmBasis = TagBasis & Pick<Session, "measures">;

/**
 * A part is read within so long of the start that it rode through, us. chosen: a reader's field is a
 * few metres and a waiting bike stands in it; riders start further apart; tags-on-parts.test.ts.
 */
const NEAR_US = 5_000_000;

/** Parts read at the start gate, each with the run that started nearest; one entry a run and part. */
export function partReads({ gear, passings, runs, riders }: TagBasis): readonly PartRead[] {
  if (!hasPartTags(gear)) return [];
  const ofRiders = new Set(riders.map((rider) => rider.tag));
  const found = new Map<string, PartRead>();
  for (const { tag, gate, at, state } of passings) {
    if (tag === null || gate !== 0 || ofRiders.has(tag)) continue;
    const part = partOfTag(gear, tag);
    if (part === null || state === "rejected" || state === "old" || state === "unknown-time") {
      continue;
    }
    const run = nearestStart(runs, at);
    if (run === null) continue;
    found.set(`${run.runId} ${part.id}`, { runId: run.runId, part: part.id, setups: part.setups });
  }
  return [...found.values()];
}

function nearestStart(runs: readonly Run[], at: number): Run | null {
  let nearest: Run | null = null;
  let least = NEAR_US;
  for (const run of runs) {
    if (run.startedAt === null) continue;
    const apart = Math.abs(run.startedAt - at);
    if (apart > least || (apart === least && nearest !== null)) continue;
    nearest = run;
    least = apart;
  }
  return nearest;
}

function hasPartTags(gear: Gear): boolean {
  return gear.parts.some((part) => part.tag != null);
}

/** What was said of the set-up of a run last; null: nobody said anything. */
export function confirmedSetup(
  measures: Session["measures"],
  runId: Run["runId"],
): string | number | null {
  const isTold = (m: Session["measures"][number]): boolean =>
    m.key === SETUP_CONFIRMED_KEY && m.runId === runId;
  return measures.findLast(isTold)?.value ?? null;
}

/**
 * Counted runs of which neither a part of their set-up was read at the start nor anybody said that it
 * was on; empty in a session without transponders on parts.
 */
export function unconfirmed(session: ConfirmBasis): readonly Run[] {
  if (!hasPartTags(session.gear)) return [];
  const reads = partReads(session);
  return session.runs.filter(({ runId, setup, status, k }) => {
    if (status !== "ok" || k === null) return false;
    const isRead = reads.some((read) => read.runId === runId && read.setups.includes(setup));
    return !isRead && confirmedSetup(session.measures, runId) !== setup;
  });
}

/** `set-up not confirmed: runs 2, 5 and 6`; with several riders `R1 2, R1 5`; null: all are. */
export function unconfirmedWords(session: ConfirmBasis): string | null {
  const names = unconfirmed(session).map(({ rider, k }) =>
    session.riders.length > 1 ? `${rider} ${String(k)}` : String(k),
  );
  const last = names.at(-1);
  if (last === undefined) return null;
  const which =
    names.length === 1 ? `run ${last}` : `runs ${names.slice(0, -1).join(", ")} and ${last}`;
  return `set-up not confirmed: ${which}`;
}

/**
 * What the key "still A?" writes for a run, as `takeMeasure` takes it: it can be undone like any other
 * measure. Its value is the set-up that the run counts for now; corrected later, the run is open again.
 */
export function setupConfirmation({ runId, rider, setup }: Run) {
  return { run: runId, rider, setup, key: SETUP_CONFIRMED_KEY, value: setup, unit: null };
}
