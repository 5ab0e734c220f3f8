// Rides that are not the rule's to choose: practice on what is new, then the opening; called by
// next-setup.ts.
import type { SetupId } from "../domain/session.ts";
import { riderSetups } from "../stats/rider-plan.ts";
import { openingOrder, unservedPlaces } from "./opening.ts";
import { practiceRunsLeft } from "./practice-runs.ts";
import type { Question } from "./question.ts";
import { type Choice, optionsOf } from "./suggestion-rule.ts";

/** A ride that is not the rule's to choose. */
export interface Wanted {
  readonly setup: SetupId;
  readonly opening: { readonly place: number; readonly of: number } | null;
  readonly practice: { readonly run: number; readonly of: number } | null;
}

/** Practice runs, else what is left of the opening, in order. */
export function wantedRides({ input, rider, situation }: Question): readonly Wanted[] {
  const practice = practiceRunsLeft(input, rider, situation.mounted);
  if (practice.length > 0) {
    return practice.map(({ setup, run, of }) => ({ setup, opening: null, practice: { run, of } }));
  }
  const index = input.riders.findIndex((r) => r.id === rider.id);
  const opening = openingOrder(riderSetups(input, rider).planned, input.settings.seed, index);
  return unservedPlaces(opening, situation.counted).map(({ setup, place }) => ({
    setup,
    practice: null,
    opening: { place, of: opening.length },
  }));
}

/** The first of them that fits in the time left; else the mounted set-up, else anything that does. */
export function firstThatFits(wanted: readonly Wanted[], question: Question): Choice {
  const { situation, costs } = question;
  const options = optionsOf(situation, costs);
  const fitting = options.filter((o) => o.fits).map((o) => o.setup);
  const first = wanted.find((w) => fitting.includes(w.setup))?.setup;
  const staying = fitting.find((setup) => setup === situation.mounted);
  const setup = first ?? staying ?? fitting[0] ?? null;
  return { setup, options, isForced: first === undefined && setup !== null };
}
