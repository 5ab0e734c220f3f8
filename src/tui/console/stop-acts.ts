// What is done when a rider may be tired or hurt, or a bike has to be checked; called by the commands.
import { BIKE_CHECKED_KEY, HEAD_KNOCK_KEY, RIDES_ON_KEY } from "../../domain/measure-keys.ts";
import type { RiderId } from "../../domain/session.ts";
import { type RiderStop, stopsNow } from "../../summary/stops-now.ts";
import { riderName } from "../look.ts";
import { riderItems } from "./choices.ts";
import type { Desk } from "./desk.ts";

/**
 * What is looked at before a bike that crashed rolls again. common practice; it stands in for no
 * qualified mechanic, and says so.
 */
const CHECK_LIST: readonly string[] = [
  "bar and stem straight, nothing cracked",
  "levers, cables and hoses whole",
  "wheels true, axles tight",
  "brakes bite, rotors straight",
  "tyres, insert and rims whole",
  "frame, fork and shock without dents or cracks",
  "helmet without damage, rider fit to ride",
];

/** The first stop that stands for a rider; undefined: none. */
export function stopOf(desk: Desk, rider: RiderId): RiderStop | undefined {
  return stopsNow(desk.summary()).find((stop) => stop.rider === rider);
}

/** Asks for what ends the stop, or says that nothing does. */
export function answerStop(desk: Desk, stop: RiderStop): void {
  const name = riderName(desk.summary(), stop.rider);
  if (stop.kind === "bike-not-checked") {
    checkBike(desk, stop.rider);
    return;
  }
  if (stop.level === "hold") {
    desk.refuse(`${name}: ${stop.sentence}`);
    return;
  }
  desk.ask(
    `${name}: ${stop.sentence}. Asked, rested and going on? y only if the rider says so`,
    () => {
      const measure = { runId: null, rider: stop.rider, setup: null, unit: null };
      desk.say(desk.acts.takeMeasure({ ...measure, key: RIDES_ON_KEY, value: stop.kind }));
    },
  );
}

/** The check list after a crash, point by point; a point that fails leaves the bike held. */
function checkBike(desk: Desk, rider: RiderId): void {
  checkPoint(desk, rider, 0);
}

function checkPoint(desk: Desk, rider: RiderId, at: number): void {
  const point = CHECK_LIST[at];
  if (point === undefined) {
    const measure = { runId: null, rider, setup: null, unit: null };
    desk.say(desk.acts.takeMeasure({ ...measure, key: BIKE_CHECKED_KEY, value: "every point" }));
    return;
  }
  const name = riderName(desk.summary(), rider);
  const count = `${String(at + 1)} of ${String(CHECK_LIST.length)}`;
  desk.ask(
    `${name}'s bike, ${count}: ${point}? In doubt no, and ask a qualified mechanic`,
    () => {
      checkPoint(desk, rider, at + 1);
    },
    () => {
      desk.say({ ok: true, text: `held: ${point}. Mend it, then check again (a: bike checked)` });
    },
  );
}

/** Whose bike, then the check list. */
export function checkWhoseBike(desk: Desk): void {
  whose(desk, "Whose bike was checked?", (rider) => {
    checkBike(desk, rider);
  });
}

/** A knock to the head ends the rider's day; asked before, because nothing takes it lightly. */
export function noteHeadKnock(desk: Desk): void {
  whose(desk, "Who had a knock to the head?", (rider) => {
    const name = riderName(desk.summary(), rider);
    desk.ask(
      `${name}: a knock to the head. No more riding today, and see a doctor. Note it?`,
      () => {
        const measure = { runId: null, rider, setup: null, unit: null };
        desk.say(desk.acts.takeMeasure({ ...measure, key: HEAD_KNOCK_KEY, value: "yes" }));
      },
    );
  });
}

function whose(desk: Desk, title: string, take: (rider: RiderId) => void): void {
  const { riders } = desk.summary();
  const only = riders.length === 1 ? riders[0] : undefined;
  if (only !== undefined) take(only.id);
  else desk.pick(title, riderItems(desk.summary(), take), "there are no riders");
}
