// What may be said of the suggestion while the standing must not be seen: reasons and stops give it
// away, but nobody is sent on for that; called by console, board and plain sentences.
import { stopsNow } from "../summary/stops-now.ts";
import type { Summary } from "../summary/summary.ts";
import { safeText } from "./present/safe-text.ts";
import { stopWords } from "./present/verdict-words.ts";

/** The reason for what is next if it is the day's end or a rider's safety; else nothing. */
export function reasonWhileHidden(summary: Summary): string {
  const { rider, stop } = summary.comparison.next;
  const safety = stopsNow(summary).find((each) => each.rider === rider);
  if (safety !== undefined) return safeText(safety.sentence);
  return stop === "day-over" ? stopWords(stop) : "";
}
