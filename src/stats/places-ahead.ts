// The places of a plan that are still to be ridden, and where the next run stands; called by the
// forecasts of compare.ts and together.ts, by rider-fit.ts and by the advisor.
import type { ComparisonInput } from "../domain/comparison.ts";
import type { Rider, RiderId } from "../domain/session.ts";
import { blockOf } from "./counted-runs.ts";
import type { DesignRow } from "./design.ts";
import { riderOrders } from "./rider-plan.ts";

/**
 * Where a rider's next run stands in the model: on the newest day and the newest ground, k going on
 * from that day's last.
 */
export function nextPlace(
  input: ComparisonInput,
  rider: RiderId,
): Omit<DesignRow, "setup"> & { readonly day: number; readonly ground: number } {
  const day = input.runs.reduce((newest, run) => Math.max(newest, run.day), 0);
  const last = input.runs.findLast(
    (run) => run.rider === rider && run.day === day && run.k !== null,
  );
  return { day, block: blockOf(rider, day), k: (last?.k ?? 0) + 1, ground: input.ground };
}

/**
 * Places n + 1 ... end of a rider's planning order. Those of the day that is being ridden, and of
 * days before it, are ridden now on the newest ground, k going on; each later day is a block of its
 * own from k = 1.
 *
 * @param n - the rider's counted runs
 * @param endRun - counted runs at which the plan ends
 * @param reversed - the order starts with the last set-up, as for every second rider of a stack
 */
export function placesAhead(
  input: ComparisonInput,
  rider: Rider,
  n: number,
  endRun: number,
  reversed: boolean,
): readonly DesignRow[] {
  const now = nextPlace(input, rider.id);
  const places = riderOrders(input, rider, reversed).flatMap((order, day) =>
    order.map((setup) => ({ setup, day: Math.max(day, now.day) })),
  );
  const next = new Map([[now.day, now.k]]);
  return places.slice(n, endRun).map(({ setup, day }) => {
    const k = next.get(day) ?? 1;
    next.set(day, k + 1);
    return { setup, block: blockOf(rider.id, day), k, ground: day === now.day ? now.ground : 0 };
  });
}
