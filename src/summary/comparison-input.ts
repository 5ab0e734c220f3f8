// A session as the statistics and the advice see it; called by the summary and the call-up list.
import type { ComparisonInput } from "../domain/comparison.ts";
import { sectorNames } from "../domain/session.ts";
import { dayFacts } from "./day-facts.ts";
import type { MadeSession } from "./declared-days.ts";

/** What the statistics and the advice are worked out from. */
export function comparisonInput(session: MadeSession): ComparisonInput {
  const { daySheets } = session;
  return {
    settings: session.settings,
    ...(daySheets.length > 1 ? { daySheets } : {}),
    riders: session.riders,
    setups: session.setups,
    plannedSetups: session.plan?.setups ?? session.setups.map((setup) => setup.id),
    plannedRiders: (session.plan?.riders ?? session.riders.map(({ id }) => ({ rider: id }))).map(
      ({ rider }) => rider,
    ),
    swaps: session.swapCosts,
    sectors: sectorNames(session.gates),
    runs: session.runs,
    plannedEnds: session.plannedEnds,
    incidents: session.incidents,
    ratings: session.ratings,
    measures: session.measures,
    hours: session.hours,
    facts: dayFacts(session),
    isClosed: session.isClosed,
    ground: session.ground,
    mounted: session.mounted,
  };
}
