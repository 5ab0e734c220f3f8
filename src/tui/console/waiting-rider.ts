// Whose bike the set-up keys mean; used by the acts and by the panel that names the rider.
import type { RiderId } from "../../domain/session.ts";
import type { Summary } from "../../summary/summary.ts";

/** The next starter; undefined without riders. */
export function waitingRider(summary: Summary): RiderId | undefined {
  return summary.nextStarter ?? summary.riders[0]?.id;
}
