// Says for a minute that a time on the screen is not what it was: a run matched anew, or timed better.
// Used by the console, the board and the plain sentences.
import type { Run } from "../domain/run.ts";
import type { SessionUs } from "../domain/time.ts";
import { changedRuns, type RunChange } from "../summary/changed-runs.ts";
import type { Summary } from "../summary/summary.ts";
import { riderName } from "./look.ts";
import { signed } from "./present/seconds.ts";
import { runName } from "./run-words.ts";

/** chosen: long enough for whoever looks between laps. */
const SAID_FOR_US = 60e6;
/** chosen: what a clock known better moves is under a millisecond nearly always; more is worth a word. */
const WORTH_SAYING_S = 0.002;

/** Given each new summary, what to say of the newest change; null: nothing, or no longer. */
export function createChangeNews(): (summary: Summary, now: SessionUs) => string | null {
  let before: Summary | null = null;
  let news: { readonly text: string; readonly at: SessionUs } | null = null;
  return (summary, now) => {
    if (before !== null && summary !== before) {
      const words = changesIn(before.runs, summary).join("; ");
      if (words !== "") news = { text: words, at: now };
    }
    before = summary;
    return news !== null && now - news.at < SAID_FOR_US ? news.text : null;
  };
}

function changesIn(before: readonly Run[], summary: Summary): readonly string[] {
  return changedRuns(before, summary.runs)
    .filter(({ kind, byS }) => kind === "rematched" || Math.abs(byS ?? 0) >= WORTH_SAYING_S)
    .map((change) => changeWords(change, before, summary));
}

function changeWords(
  { runId, kind, byS }: RunChange,
  before: readonly Run[],
  summary: Summary,
): string {
  const run = summary.runs.find((each) => each.runId === runId);
  const old = before.find((each) => each.runId === runId);
  const named = run ?? old;
  const of =
    named !== undefined && summary.riders.length > 1
      ? ` of ${riderName(summary, named.rider)}`
      : "";
  const name = named === undefined ? "a run" : `${runName(named)}${of}`;
  if (run === undefined) return `${name} is no run any more`;
  const by = byS === null ? "" : `, ${signed(byS, 3)} s`;
  return kind === "rematched" ? `${name} matched anew${by}` : `${name} timed better${by}`;
}
