// What may be said of the suggestion while the standing must not be seen: reasons and stops give it
// away, but nobody is sent on for that; called by console, board and plain sentences.
import type { Next } from "../domain/comparison.ts";
import { safeText } from "./present/safe-text.ts";
import { stopWords } from "./present/verdict-words.ts";

/** How the reasons that keep a rider from being sent begin; they speak of people, not of set-ups. */
const ABOUT_SAFETY = /^(?:tired or unsafe|crash on the last run|knock to the head)/u;

/** The reason for what is next if it is the day's end or a rider's safety; else nothing. */
export function reasonWhileHidden({ stop, because }: Pick<Next, "stop" | "because">): string {
  if (ABOUT_SAFETY.test(because)) return safeText(because);
  return stop === "day-over" ? stopWords(stop) : "";
}
