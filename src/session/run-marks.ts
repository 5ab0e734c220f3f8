// What people marked on a run, as of any entry of the journal; read when runs get their status.
import type { RunStatus } from "../domain/run.ts";
import type { Body } from "../journal/content.ts";
import type { Decision } from "./evidence.ts";

type Mark = Body<"run-marked">["mark"];

interface MarkMade {
  readonly seq: number;
  readonly mark: Mark;
  readonly sectors: readonly number[];
  readonly reason: string | null;
}

/** What is marked on one run. */
export interface Marks {
  /** On the whole run; null if nothing is. */
  readonly whole: Mark | null;
  /** Sectors struck out, ascending. */
  readonly voidSectors: readonly number[];
  readonly reason: string | null;
  /** "Count it", said of a run that was not struck out, a warm-up or DNF: an answer to a question. */
  readonly isMarkedOk: boolean;
}

const unmarked: Marks = { whole: null, voidSectors: [], reason: null, isMarkedOk: false };

function withMark(marks: Marks, { mark, sectors, reason }: MarkMade): Marks {
  if (sectors.length === 0) {
    // "Count it": takes away what is on the whole run, else the sectors' marks.
    const isMarkedOk = mark === "ok" && (marks.whole === null || marks.whole === "ok");
    return { whole: mark, reason, voidSectors: isMarkedOk ? [] : marks.voidSectors, isMarkedOk };
  }
  if (mark === "void") {
    const all = new Set([...marks.voidSectors, ...sectors]);
    return { ...marks, voidSectors: [...all].sort((a, b) => a - b), reason };
  }
  return { ...marks, voidSectors: marks.voidSectors.filter((s) => !sectors.includes(s)) };
}

/** Marks of every run, by run id. */
export type MarkBook = ReadonlyMap<string, readonly MarkMade[]>;

/** Gathers the marks from the decisions that hold. */
export function markBook(holding: readonly Decision[]): MarkBook {
  const book = new Map<string, MarkMade[]>();
  for (const { entry } of holding) {
    if (entry.type !== "run-marked") continue;
    const made = book.get(entry.body.run) ?? [];
    const { mark, sectors, reason } = entry.body;
    made.push({ seq: entry.seq, mark, sectors, reason });
    book.set(entry.body.run, made);
  }
  return book;
}

/** What was marked on a run before an entry of the journal; infinity for now. */
export function marksUpTo(book: MarkBook, runId: string, seq: number): Marks {
  return (book.get(runId) ?? []).filter((made) => made.seq < seq).reduce(withMark, unmarked);
}

/** What a run is without any mark. */
export interface Unmarked {
  readonly hasTime: boolean;
  /** `warm-up`, `void` and `dnf` only for imported rows. */
  readonly status: RunStatus;
  /** The rider may still be out there. */
  readonly isOut: boolean;
  readonly sectors: number;
  readonly hasSplits: boolean;
}

/**
 * Status of a run with its marks. A struck-out sector without splits to tell it strikes out the run.
 * A run struck out while its rider is out stays on course until the rider is off it: a course must
 * never look clear because of a mark.
 */
export function statusOf(run: Unmarked, marks: Marks): RunStatus {
  const isAllVoid =
    marks.voidSectors.length > 0 && (!run.hasSplits || marks.voidSectors.length >= run.sectors);
  switch (marks.whole) {
    case "void":
      return run.isOut ? "on-course" : "void";
    case "dnf":
      return "dnf";
    case "warm-up":
      return run.hasTime ? "warm-up" : run.status;
    case "ok":
      if (!run.hasTime) return run.status;
      return isAllVoid ? "void" : "ok";
    case null:
      return isAllVoid && (run.status === "ok" || run.status === "unsure") ? "void" : run.status;
  }
}

/** True if the run takes no k while it stands before the first counted place. */
export function isWarmUp(run: Unmarked, marks: Marks): boolean {
  if (marks.whole === "warm-up") return true;
  return marks.whole === null && run.status === "warm-up";
}
