// Says what a marked step of the ground did, and warns where it fell on a swap; one of the remarks.
import type { ComparisonInput } from "../../domain/comparison.ts";
import type { Remark } from "../../domain/remark.ts";
import type { Rider } from "../../domain/session.ts";
import { sortedRuns } from "../../stats/counted-runs.ts";
import { type GroundStep, groundSteps, setupToRepeat } from "../../stats/ground-steps.ts";
import { riderSetups } from "../../stats/rider-plan.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { runName } from "./run-name.ts";
import { plainSeconds } from "./seconds-words.ts";
import { whose } from "./whose.ts";

/** One note a rider and step between counted runs, one warning a rider and pair. */
export function stepsOfGround({ input }: RemarkBasis): readonly Remark[] {
  return input.riders.flatMap((rider) => {
    const steps = groundSteps(input, rider.id);
    if (steps.length === 0) return [];
    return [...swapRemarks(input, rider), ...steps.flatMap((step) => stepRemarks(input, step))];
  });
}

function swapRemarks(input: ComparisonInput, rider: Rider): readonly Remark[] {
  const { counted } = sortedRuns(input, [rider.id]);
  const { all, baseline } = riderSetups(input, rider);
  return all.flatMap((candidate): readonly Remark[] => {
    if (candidate === baseline) return [];
    const pair = { candidate, baseline };
    const again = setupToRepeat(counted, all, input.settings.drift, pair);
    if (again === null) return [];
    const what = "the ground changed just as the set-up was swapped";
    return [
      {
        level: "warn",
        kind: "ground-swap",
        rider: rider.id,
        setup: candidate,
        run: null,
        text: `${whose(input, rider.id)}${what}: ride ${again} again before judging`,
      },
    ];
  });
}

function stepRemarks(input: ComparisonInput, { runId, effect }: GroundStep): readonly Remark[] {
  return input.runs
    .filter((run) => run.runId === runId)
    .map((run) => ({
      level: "note",
      kind: "ground-step",
      rider: run.rider,
      setup: null,
      run: runId,
      text: `the ground changed before ${runName(input, run)}: a step is allowed for${effectWords(effect)}`,
    }));
}

function effectWords(effect: GroundStep["effect"]): string {
  if (effect === null) return "";
  const { slowerS, halfWidthS } = effect;
  const direction = slowerS < 0 ? "quicker" : "slower";
  return `; it made runs ${plainSeconds(slowerS)} ${direction} (+-${plainSeconds(halfWidthS)})`;
}
