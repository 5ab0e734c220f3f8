// What can be done while settings are explored: another value than the suggested one, the closing
// check. Called by the commands.
import type { Exploration } from "../../domain/exploration.ts";
import { limitWords, valuesName } from "../../domain/explored-values.ts";
import { foundValues } from "../../summary/exploration.ts";
import type { Summary } from "../../summary/summary.ts";
import type { Desk } from "./desk.ts";
import { waitingRider } from "./waiting-rider.ts";

/** Types a value for each setting, one after the other, and puts them on the bike. */
export function rideAnotherValue(desk: Desk): void {
  const summary = desk.summary();
  const rider = waitingRider(summary);
  const exploration = exploringNow(desk, summary);
  if (exploration === undefined) return;
  if (rider === undefined) {
    desk.refuse("there is no rider yet");
    return;
  }
  typeValues(desk, exploration, [], (values) => {
    desk.say(desk.acts.rideValues(rider, values));
  });
}

function typeValues(
  desk: Desk,
  exploration: Exploration,
  typed: readonly number[],
  done: (values: readonly number[]) => void,
): void {
  const found = exploration.settings[typed.length];
  if (found === undefined) {
    done(typed);
    return;
  }
  const limits = limitWords(found.setting);
  desk.type(`${found.setting.key}, ${limits}`, (text) => {
    const value = text === "" ? Number.NaN : Number(text.replace(",", "."));
    if (!Number.isFinite(value)) return `a number ${limits}`;
    typeValues(desk, exploration, [...typed, value], done);
    return null;
  });
}

/** Asks before exploring ends: from then on nothing but the check counts. */
export function beginCheck(desk: Desk): void {
  const summary = desk.summary();
  const exploration = exploringNow(desk, summary);
  if (exploration === undefined || summary.explored === null) return;
  const found = foundValues(summary);
  if (found === null) {
    desk.refuse("no value is better than the present one so far: there is nothing to check");
    return;
  }
  const { settings, checkRuns } = summary.explored;
  const name = valuesName(settings, found);
  const present = valuesName(
    settings,
    exploration.settings.map((each) => each.present),
  );
  desk.ask(
    `Exploring ends: ${name} against ${present}, ${String(checkRuns)} runs back to back, and only they count. Begin?`,
    () => {
      desk.say(desk.acts.beginCheck(found));
    },
  );
}

function exploringNow(desk: Desk, summary: Summary): Exploration | undefined {
  if (summary.explored === null) desk.refuse("no setting is explored in this session");
  else if (summary.check !== null) desk.refuse("the closing check has begun: exploring is over");
  else if (summary.exploration === null) desk.refuse(summary.comparison.next.because);
  else return summary.exploration;
  return undefined;
}
