// Which shared bike a rider rides all day; called by the live call-up list and by the plan's.
import type { Bike, Gear } from "../domain/gear.ts";
import type { RiderId, SetupId } from "../domain/session.ts";
import { gearFor } from "./gear-fit.ts";

/** A rider and what the rider is to ride. */
interface BikeRider {
  readonly id: RiderId;
  readonly setups: readonly SetupId[];
}

/**
 * A bike for each rider, the same all day: set-ups are compared on one bike, or the bike would be
 * compared with them. Riders in sheet order each take, of the bikes that fit them and take most of
 * their set-ups, the one with fewest riders: those who have it, and those further down who are named
 * for it, each shared among the bikes that fit.
 *
 * What was ridden plays no role, so nobody's bike changes in the middle of a day; a rider added later
 * moves no other.
 *
 * @returns empty where no bikes are shared
 */
export function riderBikes(gear: Gear, riders: readonly BikeRider[]): ReadonlyMap<RiderId, Bike> {
  const fitting = (rider: RiderId): readonly Bike[] =>
    gear.bikes.filter((bike) => bike.riders === null || bike.riders.includes(rider));
  const taken = new Map<RiderId, Bike>();
  riders.forEach(({ id, setups }, place) => {
    const able = setups.flatMap((setup) => gearFor(gear, id, setup).bikes.map(({ bike }) => bike));
    const later = riders.slice(place + 1).map((rider) => rider.id);
    const rank = (bike: Bike): readonly number[] => [
      -able.filter((each) => each === bike).length,
      later
        .filter((rider) => bike.riders?.includes(rider) === true)
        .reduce(
          (sum, rider) => sum + 1 / fitting(rider).length,
          [...taken.values()].filter((each) => each === bike).length,
        ),
    ];
    const [best] = fitting(id).toSorted((a, b) => firstDifference(rank(a), rank(b)));
    if (best !== undefined) taken.set(id, best);
  });
  return taken;
}

/** Lists in the order of their first places that differ. */
export function firstDifference(a: readonly number[], b: readonly number[]): number {
  const at = a.findIndex((value, i) => value !== b[i]);
  return at < 0 ? 0 : (a[at] ?? 0) < (b[at] ?? 0) ? -1 : 1;
}
