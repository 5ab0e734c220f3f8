// What can be done with the course and the day: marks by hand, the next starter, swaps, hold, ends.
import type { RiderId, SetupId } from "../../domain/session.ts";
import { foundValues, nextValues } from "../../summary/exploration.ts";
import type { Summary } from "../../summary/summary.ts";
import { riderName } from "../look.ts";
import { clockTime } from "../present/seconds.ts";
import { gateNames } from "../run-words.ts";
import { riderItems, setupItems } from "./choices.ts";
import type { Desk } from "./desk.ts";
import { beginCheck } from "./explore-acts.ts";
import type { Press } from "./press.ts";
import { answerStop, stopOf } from "./stop-acts.ts";
import { waitingRider } from "./waiting-rider.ts";

export function markStart(desk: Desk, press: Press): void {
  desk.say(desk.acts.mark(0, press.keyedAt));
}

export function markFinish(desk: Desk, press: Press): void {
  desk.say(desk.acts.mark(desk.summary().gates.length - 1, press.keyedAt));
}

/** The next split of the rider longest on course that has one still to pass. */
export function markSplit(desk: Desk, press: Press): void {
  const { gates, onCourse } = desk.summary();
  const next = onCourse
    .map((each) => each.run.lastGate + 1)
    .find((gate) => gates[gate]?.role === "split");
  if (!gates.some((gate) => gate.role === "split")) desk.refuse("this stretch has no split");
  else if (next === undefined) desk.refuse("nobody on course has a split still to pass");
  else desk.say(desk.acts.mark(next, press.keyedAt));
}

/** What Enter would do now. */
export type Acceptance =
  | { readonly kind: "swap"; readonly rider: RiderId; readonly setup: SetupId }
  /** The next value of what is explored. */
  | { readonly kind: "values"; readonly rider: RiderId; readonly values: readonly number[] }
  | { readonly kind: "call-up"; readonly rider: RiderId }
  /** All values are tried: the closing check of what was found. */
  | { readonly kind: "check" }
  | { readonly kind: "nothing"; readonly because: string };

/** The step that takes the session to what is suggested. */
export function acceptance(summary: Summary): Acceptance {
  const { rider, setup } = summary.comparison.next;
  if (summary.isClosed) return { kind: "nothing", because: "the session is closed" };
  if (rider === null || setup === null) {
    const isTried = summary.exploration?.phase === "done" && foundValues(summary) !== null;
    if (isTried) return { kind: "check" };
    return { kind: "nothing", because: "nothing is suggested just now" };
  }
  if (summary.mounted[rider] !== setup) {
    const values = nextValues(summary);
    return values === null ? { kind: "swap", rider, setup } : { kind: "values", rider, values };
  }
  if (summary.riders.length > 1 && summary.nextStarter !== rider) return { kind: "call-up", rider };
  const name = riderName(summary, rider);
  return { kind: "nothing", because: `${setup} is on ${name}'s bike already: ride` };
}

export function acceptSuggestion(desk: Desk): void {
  const summary = desk.summary();
  const { rider } = summary.comparison.next;
  const stop = rider === null || summary.isClosed ? undefined : stopOf(desk, rider);
  if (stop !== undefined) {
    answerStop(desk, stop);
    return;
  }
  const step = acceptance(summary);
  if (step.kind === "values") desk.say(desk.acts.rideValues(step.rider, step.values));
  else if (step.kind === "check") beginCheck(desk);
  else if (step.kind === "swap") desk.say(desk.acts.swap(step.rider, step.setup));
  else if (step.kind === "call-up") desk.say(desk.acts.nextStarter(step.rider));
  else desk.refuse(step.because);
}

/** The set-up with that number is now on the waiting rider's bike. */
export function chooseSetup(desk: Desk, digit: number | null): void {
  const summary = desk.summary();
  const rider = waitingRider(summary);
  const setup = summary.setups[(digit ?? 0) - 1];
  if (rider === undefined) desk.refuse("there is no rider yet");
  else if (setup === undefined) desk.refuse(`there is no set-up ${String(digit)}`);
  else desk.say(desk.acts.swap(rider, setup.id));
}

export function listSetups(desk: Desk): void {
  const summary = desk.summary();
  const rider = waitingRider(summary);
  if (rider === undefined) {
    desk.refuse("there is no rider yet");
    return;
  }
  const items = setupItems(summary, (setup) => {
    desk.say(desk.acts.swap(rider, setup));
  });
  desk.pick(`On the bike of ${riderName(summary, rider)} now`, items, "there are no set-ups");
}

/** The rider so many places on in the sheet's order who is not on course is the next starter. */
export function stepRider(desk: Desk, step: 1 | -1): void {
  const { riders, onCourse, nextStarter } = desk.summary();
  const waiting = riders.filter((rider) => !onCourse.some((each) => each.run.rider === rider.id));
  const at = waiting.findIndex((rider) => rider.id === nextStarter);
  const from = at < 0 && step < 0 ? 0 : at;
  const next = waiting[(from + step + waiting.length) % Math.max(1, waiting.length)];
  if (next === undefined) desk.refuse("nobody is waiting");
  else if (next.id === nextStarter) desk.refuse("nobody else is waiting");
  else desk.say(desk.acts.nextStarter(next.id));
}

export function listRiders(desk: Desk): void {
  const items = riderItems(desk.summary(), (rider) => {
    desk.say(desk.acts.nextStarter(rider));
  });
  desk.pick("Who starts next?", items, "there are no riders");
}

export function holdOrOpen(desk: Desk): void {
  const { heldBecause } = desk.summary();
  desk.say(heldBecause === null ? desk.acts.hold("by the operator") : desk.acts.openCourse());
}

/** Everybody on course by name: `Ada since 10:42, Ben since 10:44`. */
function onCourseNames(summary: Summary): string {
  return summary.onCourse
    .map((each) => {
      const since = clockTime(each.since, summary.settings.zone);
      return `${riderName(summary, each.run.rider)} since ${since}`;
    })
    .join(", ");
}

/** Everyone has to be accounted for by name before a session is closed. */
export function closeOrReopen(desk: Desk): void {
  const summary = desk.summary();
  if (summary.isClosed) {
    desk.say(desk.acts.reopen());
    return;
  }
  if (summary.onCourse.length > 0) {
    desk.refuse(`still on course: ${onCourseNames(summary)}. Wait, or 0: DNF once they are found`);
    return;
  }
  desk.ask("Nobody is on course by what is known here. Close the session?", () => {
    desk.say(desk.acts.close());
  });
}

export function announceEnd(desk: Desk): void {
  const summary = desk.summary();
  const announce = (rider: RiderId): void => {
    const { earlierEnd } = summary;
    // An end is proposed only while nothing is decided: blind, that would give the standing away.
    const isShown = !desk.status().isBlind && earlierEnd?.rider === rider;
    const proposed = isShown ? String(earlierEnd.endRun) : "";
    const accept = (text: string): string | null => {
      if (!/^[1-9]\d{0,3}$/.test(text)) return "a whole number of counted runs, like 12";
      desk.say(desk.acts.announceEnd(rider, Number(text)));
      return null;
    };
    desk.type(`plan of ${riderName(summary, rider)} ends at counted run`, accept, proposed);
  };
  const only = summary.riders.length === 1 ? summary.riders[0] : undefined;
  if (only !== undefined) announce(only.id);
  else desk.pick("Whose plan ends earlier?", riderItems(summary, announce), "there are no riders");
}

const STEP_QUESTION =
  "Is the ground faster or slower from here on? y: the comparison allows for a step from the next start (costs a run or two of evidence); n: only noted";

export function markCondition(desk: Desk): void {
  desk.type("conditions from now on", (text) => {
    if (text === "") return "nothing typed yet";
    const mark = (isStep: boolean) => (): void => {
      desk.say(desk.acts.markCondition(text, isStep));
    };
    desk.ask(STEP_QUESTION, mark(true), mark(false));
    return null;
  });
}

export function markGateMoved(desk: Desk): void {
  const items = gateNames(desk.summary().gates).map((name, gate) => ({
    label: name,
    take: () => {
      desk.type(`what was done to the gate at the ${name}`, (text) => {
        if (text === "") return "moved, re-aimed or replaced? A word is enough";
        desk.say(desk.acts.markGateMoved(gate, text));
        return null;
      });
    },
  }));
  desk.pick("Which gate?", items, "there are no gates");
}

export function setMargin(desk: Desk): void {
  desk.type("smallest difference worth having, s (empty: none)", (text) => {
    if (text === "") {
      desk.say(desk.acts.setMargin(null));
      return null;
    }
    const marginS = Number(text.replace(",", "."));
    if (!(marginS > 0 && marginS < 1000)) return "seconds above nought, like 0.8";
    desk.say(desk.acts.setMargin(marginS));
    return null;
  });
}

const DRIFTS = [
  ["none", "none: the times only scatter"],
  ["linear", "linear: faster or slower by as much each run"],
  ["learning", "learning: much at first, then less and less; costs a run or two of evidence"],
] as const;

/** The model of the trend over the day; refused once run 1 has started. */
export function setDrift(desk: Desk): void {
  const now = desk.summary().settings.drift;
  const items = DRIFTS.map(([drift, label]) => ({
    label: drift === now ? `${label}  (as it is)` : label,
    take: () => {
      desk.say(desk.acts.setDrift(drift));
    },
  }));
  desk.pick("Trend over the day, chosen before run 1", items, "");
}

/** Leaves at once unless somebody is on course and their times come in here. */
export function quitOrAsk(desk: Desk): void {
  const summary = desk.summary();
  if (summary.onCourse.length === 0 || desk.status().recorder.kind !== "here") {
    desk.quit();
    return;
  }
  desk.ask(
    `ON COURSE: ${onCourseNames(summary)}. Recording stops when this console is left; the boxes keep their passings. Leave?`,
    () => {
      desk.quit();
    },
  );
}
