// The earlier end of the plan that the clock of a simulated day gives, announced at the last moment
// that is in time; called by ride-day.ts after every counted run.
import { adviseRider } from "../advisor/next-setup.ts";
import { swapMinutes } from "../domain/session.ts";
import { noticeRuns } from "../stats/band-in-force.ts";
import type { FixedOrder } from "./order.ts";
import type { RiderDay } from "./rider-day.ts";

/** Runs before it is too late at which the program, too, begins to urge it. */
const URGENT = 1;

/**
 * The end to announce now: so many counted runs as will fit, in this order, into the minutes left.
 *
 * @param order - null: the suggestion, whose own proposal is taken
 * @param plannedRuns - N of the rider
 * @returns null if the plan fits, if there is time to wait, or if it is too late
 */
export function clockEnd(
  day: RiderDay,
  order: FixedOrder | null,
  plannedRuns: number,
): number | null {
  const { settings, swaps, setups } = day.input;
  const { minutes, lapMinutes } = settings;
  if (minutes === null || lapMinutes === null || settings.days > 1) return null;
  const notice = noticeRuns(plannedRuns);
  const left = minutes - day.minutesToday;
  const ids = setups.map((setup) => setup.id);
  const dearest = Math.max(...ids.flatMap((from) => ids.map((to) => swapMinutes(swaps, from, to))));
  // What no order can change is not worked out.
  const fewest = Math.floor(left / (lapMinutes + dearest));
  if (left < notice * lapMinutes - 1e-9 || fewest > notice + URGENT) return null;
  const end =
    order === null
      ? (adviseRider(day.input, day.rider).earlierEnd?.endRun ?? plannedRuns)
      : day.counted + runsThatFit(day, order, left, lapMinutes);
  const runsLeft = end - day.counted;
  return end < plannedRuns && runsLeft >= notice && runsLeft <= notice + URGENT ? end : null;
}

function runsThatFit(day: RiderDay, order: FixedOrder, left: number, lapMinutes: number): number {
  const { swaps } = day.input;
  let { mounted } = day;
  let used = 0;
  for (let runs = 0; ; runs += 1) {
    const setup = order.at(day.day, day.countedToday + runs);
    if (setup === undefined) return runs;
    used += lapMinutes + (mounted === null ? 0 : swapMinutes(swaps, mounted, setup));
    if (used > left + 1e-9) return runs;
    mounted = setup;
  }
}
