// Asks whether a run that came up to the rider ahead was held up; one of the remarks.
import { type CaughtRun, caughtRuns } from "../../advisor/start-gap.ts";
import type { ComparisonInput } from "../../domain/comparison.ts";
import type { Remark } from "../../domain/remark.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { runName } from "./run-name.ts";
import { riderName } from "./whose.ts";

/** chosen: a third question is no longer read; once one is answered, the next comes. */
const MOST_AT_ONCE = 2;

/** One question a counted run, the newest first; none about a run already answered for. */
export function caughtRemarks({ input }: RemarkBasis): readonly Remark[] {
  const answered = new Set(input.incidents.map((incident) => incident.runId));
  return caughtRuns(input.runs)
    .filter(({ run }) => run.status === "ok" && !run.isMarkedOk && !answered.has(run.runId))
    .slice(-MOST_AT_ONCE)
    .toReversed()
    .map((caught) => question(input, caught));
}

function question(
  input: ComparisonInput,
  { run, ahead, startedAfterS, finishedAfterS }: CaughtRun,
): Remark {
  const other = riderName(input, ahead.rider);
  const order = finishedAfterS < 0 ? "before" : "behind";
  const finished = `finished ${whole(Math.abs(finishedAfterS))} s ${order} ${other}`;
  const started = `who started ${whole(startedAfterS)} s earlier`;
  return {
    level: "ask",
    kind: "caught-run",
    rider: run.rider,
    setup: null,
    run: run.runId,
    text: `${runName(input, run)} ${finished}, ${started}: held up? x strikes it out, else count it`,
  };
}

function whole(seconds: number): string {
  return String(Math.round(seconds));
}
