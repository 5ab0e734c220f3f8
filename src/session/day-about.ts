// Which day of a merged session an entry belongs to; asked by the fold for each decision.
import type { Entry } from "../journal/entry.ts";
import { entryIs } from "./entry-is.ts";
import type { DayMark, Fold } from "./evidence.ts";
import { toldBy } from "./passing-id.ts";

const ABOUT_RUNS = [
  "run-marked",
  "setup-corrected",
  "rider-corrected",
  "run-split",
  "incident-noted",
  "rating-given",
  "measure-taken",
  "note-added",
] as const;

const ABOUT_PASSINGS = ["passing-assigned", "passing-rejected", "passing-promoted"] as const;

/**
 * The day that a decision bears on: that of the run or passing it names, so that an earlier day can be
 * mended in the merged session; else the newest.
 */
export function dayAbout({ day, dayMarks }: Fold, entry: Entry): number {
  if (day === 0) return 0;
  if (entryIs(entry, ABOUT_RUNS) && entry.body.run !== null) {
    return dayOfSeq(dayMarks, Number.parseInt(entry.body.run, 10));
  }
  const passing = entryIs(entry, ABOUT_PASSINGS)
    ? entry.body.passing
    : entry.type === "runs-joined"
      ? entry.body.start
      : null;
  if (passing === null) return day;
  const told = toldBy(passing);
  if ("keyedSeq" in told) return dayOfSeq(dayMarks, told.keyedSeq);
  return Math.min(Math.max(told.day, 0), day);
}

/** True if an entry was written into a merged session after its days had been put together. */
export function isAfterTheDays({ dayMarks }: Fold, seq: number): boolean {
  const newest = dayMarks.at(-1);
  return newest !== undefined && seq > newest.seq + newest.entries;
}

/** The day that an entry was written on; the first for what is no number. */
function dayOfSeq(dayMarks: readonly DayMark[], seq: number): number {
  return dayMarks.filter((mark) => mark.seq < seq).length;
}
