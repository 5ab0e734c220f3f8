// Asks whether a run that was slow beside the others was a mistake; one of the remarks.
import type { ComparisonInput } from "../../domain/comparison.ts";
import type { Remark } from "../../domain/remark.ts";
import type { Run } from "../../domain/run.ts";
import { item } from "../../stats/entry.ts";
import { type OutlyingRun, outlyingRuns } from "../../stats/outlying-runs.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { runName } from "./run-name.ts";
import { plainSeconds } from "./seconds-words.ts";

/** chosen: a third question is no longer read; once one is answered, the next comes. */
const MOST_AT_ONCE = 2;

/** One question a run, the worst runs of all riders first; none about a run already answered for. */
export function slowRuns({ input }: RemarkBasis): readonly Remark[] {
  const answered = new Set([
    ...input.incidents.map((incident) => incident.runId),
    ...input.runs.filter((run) => run.isMarkedOk).map((run) => run.runId),
  ]);
  const found = input.riders
    .flatMap((rider) => outlyingRuns(input, rider.id))
    .filter((each) => !answered.has(each.runId))
    .toSorted((a, b) => b.studentised - a.studentised);
  const worst = [...new Set(found.map((each) => each.runId))].slice(0, MOST_AT_ONCE);
  return worst.flatMap((runId) => {
    const own = found.filter((each) => each.runId === runId);
    return input.runs.filter((run) => run.runId === runId).map((run) => question(input, run, own));
  });
}

function question(input: ComparisonInput, run: Run, found: readonly OutlyingRun[]): Remark {
  const lost = found.flatMap(({ sector, slowerS }) =>
    sector === null ? [] : `${plainSeconds(slowerS)} in ${item(input.sectors, sector - 1)}`,
  );
  const whole = found.find((each) => each.sector === null);
  const name = runName(input, run);
  const where = lost.length === 0 ? "" : `lost ${lost.join(" and ")}`;
  const what =
    whole === undefined
      ? where
      : `was ${plainSeconds(whole.slowerS)} slower than the others say${where === "" ? "" : ` (${where})`}`;
  const part = lost.length === 0 ? "it" : lost.length === 1 ? "that sector" : "those sectors";
  return {
    level: "ask",
    kind: "slow-run",
    rider: run.rider,
    setup: null,
    run: run.runId,
    text: `${name} ${what}: was there a mistake? strike ${part} out only for a cause seen or told, else count it`,
  };
}
