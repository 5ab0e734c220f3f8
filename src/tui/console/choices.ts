// The lists that acts choose from: set-ups, riders, incidents, sectors; called by the commands.
import type { RiderId, SetupId } from "../../domain/session.ts";
import type { Summary } from "../../summary/summary.ts";
import { riderName } from "../look.ts";
import { safeText } from "../present/safe-text.ts";
import type { IncidentKind } from "./acts.ts";
import type { PickItem } from "./console-state.ts";

/** Set-ups in declared order, so that a digit is the same set-up everywhere. */
export function setupItems(summary: Summary, take: (setup: SetupId) => void): readonly PickItem[] {
  return summary.setups.map((setup) => ({
    label: `${safeText(setup.id)}  ${safeText(setup.name)}`.trimEnd(),
    take: () => {
      take(setup.id);
    },
  }));
}

/** Riders in the sheet's order. */
export function riderItems(summary: Summary, take: (rider: RiderId) => void): readonly PickItem[] {
  return summary.riders.map((rider) => {
    const isRiding = summary.onCourse.some((each) => each.run.rider === rider.id);
    return {
      label: `${riderName(summary, rider.id)}${isRiding ? "  (on course)" : ""}`,
      take: () => {
        take(rider.id);
      },
    };
  });
}

export const INCIDENTS: readonly { readonly kind: IncidentKind; readonly label: string }[] = [
  { kind: "mistake", label: "mistake" },
  { kind: "dab", label: "dab: a foot down" },
  { kind: "near-miss", label: "near miss" },
  { kind: "crash", label: "crash" },
  { kind: "puncture", label: "puncture" },
  { kind: "mechanical", label: "mechanical" },
  { kind: "held-up", label: "held up" },
];

/** How a run felt, worst first: 1 to 10. */
export const FEEL_WORDS: readonly string[] = [
  "1  frightening",
  "2",
  "3  poor",
  "4",
  "5  so-so",
  "6",
  "7  good",
  "8",
  "9  very good",
  "10  could not be better",
];

/** How well an aspect pleased, worst first: 1 to 10. */
export const ASPECT_WORDS: readonly string[] = [
  "1  worst",
  "2",
  "3",
  "4",
  "5",
  "6",
  "7",
  "8",
  "9",
  "10  best",
];

interface HowItWas {
  readonly label: string;
  /** Noted on the run, which counts all the same. */
  readonly incident?: IncidentKind;
  readonly note?: string;
  /** The run may have to be struck out. */
  readonly isProblem?: true;
}

/** The first question after the finish. */
export const HOW_IT_WAS: readonly HowItWas[] = [
  { label: "clean" },
  { label: "small mistake", incident: "mistake" },
  { label: "big mistake", incident: "mistake", note: "big mistake" },
  { label: "held up", incident: "held-up" },
  { label: "problem: strike it out, with a reason", isProblem: true },
];

/**
 * How hard a run was, by Borg's CR10 scale; a line's number is the figure, so that nought comes last.
 *
 * @see Borg (1982), Med. Sci. Sports Exerc. 14, 377-381 (words shortened, from memory)
 */
export const EXERTION_WORDS: readonly { readonly value: number; readonly word: string }[] = [
  { value: 1, word: "very weak" },
  { value: 2, word: "weak" },
  { value: 3, word: "moderate" },
  { value: 4, word: "somewhat strong" },
  { value: 5, word: "strong" },
  { value: 6, word: "" },
  { value: 7, word: "very strong" },
  { value: 8, word: "" },
  { value: 9, word: "" },
  { value: 10, word: "as hard as can be" },
  { value: 0, word: "nothing at all" },
];

/** Sectors by name, and "not said" first. */
export function sectorItems(
  summary: Summary,
  take: (sector: number | null) => void,
): readonly PickItem[] {
  const named = summary.sectors.map((name, i) => ({
    label: safeText(name),
    take: () => {
      take(i + 1);
    },
  }));
  const notSaid: PickItem = {
    label: "somewhere: sector not said",
    take: () => {
      take(null);
    },
  };
  return [...named, notSaid];
}
