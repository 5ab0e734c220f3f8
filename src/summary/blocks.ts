// The day cut where the conditions were marked or a gate was moved; called by `dayFacts`.
import type { DayBlock } from "../domain/day-facts.ts";
import type { Note } from "../domain/happening.ts";
import type { Session } from "../session/session.ts";

type Mark = NonNullable<DayBlock["opened"]> & Pick<Note, "at">;

/**
 * Each run belongs to the block opened by the last mark before its start; a new day opens a block of
 * its own. A mark that nobody started after, or before, opens none. Runs without a time of day cannot
 * be placed and are in no block.
 *
 * @returns empty where nothing was marked between two runs
 */
export function dayBlocks({ notes, runs }: Pick<Session, "notes" | "runs">): readonly DayBlock[] {
  const marks = notes
    .flatMap(({ kind, at, text }): readonly Mark[] => (kind === "note" ? [] : [{ kind, at, text }]))
    .toSorted((a, b) => a.at - b.at);
  if (marks.length === 0) return [];
  const firstOfDay = new Map<number, number>();
  const blocks = new Map<string, { day: number; opened: DayBlock["opened"]; runs: string[] }>();
  const timed = runs.flatMap(({ runId, day, startedAt }) =>
    startedAt === null ? [] : [{ runId, day, startedAt }],
  );
  for (const { runId, day, startedAt } of timed.toSorted((a, b) => a.startedAt - b.startedAt)) {
    const first = firstOfDay.get(day) ?? startedAt;
    firstOfDay.set(day, first);
    const mark = marks.findLast(({ at }) => at > first && at <= startedAt);
    const key = `${String(day)} ${String(mark?.at ?? "")}`;
    const block = blocks.get(key) ?? { day, opened: openedBy(mark), runs: [] };
    block.runs.push(runId);
    blocks.set(key, block);
  }
  const made = [...blocks.values()];
  return made.some(({ opened }) => opened !== null) ? made : [];
}

function openedBy(mark: Mark | undefined): DayBlock["opened"] {
  return mark === undefined ? null : { kind: mark.kind, text: mark.text };
}
