// Warns when a rider's comparison lacks a set-up altogether: only one ridden, no run on the baseline,
// or one left out until late; one of the remarks.
import type { ComparisonInput, RiderComparison } from "../../domain/comparison.ts";
import type { Remark } from "../../domain/remark.ts";
import type { SetupId } from "../../domain/session.ts";
import { plannedRunsOf, setupsOf, setupsToRide } from "../../stats/rider-plan.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { riderName } from "./whose.ts";

/** Counted runs before which nothing is missing yet: the opening still brings every set-up. */
const FEWEST_RUNS = 3;

/** For each rider what is missing most; nothing for a rider who is to ride a single set-up. */
export function missingRuns({ input, riders }: RemarkBasis): readonly Remark[] {
  return riders.flatMap((rider) =>
    rider.counted_runs < FEWEST_RUNS ? [] : missingOf(input, rider),
  );
}

function missingOf(input: ComparisonInput, comparison: RiderComparison): readonly Remark[] {
  const rider = input.riders.find((each) => each.id === comparison.rider);
  if (rider === undefined) return [];
  const { baseline } = setupsOf(input);
  const ridden = comparison.setup_spreads.filter(({ runs }) => runs > 0).map(({ setup }) => setup);
  const missing = setupsToRide(input, rider).filter((setup) => !ridden.includes(setup));
  const [first] = missing;
  const [only, ...others] = ridden;
  const name = riderName(input, rider.id);
  const warning = (setup: SetupId, says: string, advice: string): Remark => ({
    level: "warn",
    kind: "missing-runs",
    rider: rider.id,
    setup,
    run: null,
    text: input.isClosed ? says : `${says}: ${advice}`,
  });
  if (only !== undefined && others.length === 0) {
    const says = `${name} has ridden only ${only}`;
    return first === undefined ? [] : [warning(first, says, `ride ${first} next, back to back`)];
  }
  if (!ridden.includes(baseline)) {
    const says = `${name} has not ridden ${baseline}, the baseline`;
    return [warning(baseline, says, "ride it to compare")];
  }
  const runs = plannedRunsOf(input, rider);
  if (runs === null || comparison.counted_runs < runs / 2) return [];
  return missing.map((setup) =>
    warning(
      setup,
      `half of ${name}'s plan is over without a run on ${setup}`,
      `ride ${setup} next`,
    ),
  );
}
