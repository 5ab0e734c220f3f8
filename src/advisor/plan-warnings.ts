// What a planner should hear before the day, in plain words; called by plan-day.ts. Only ids, keys
// and numbers go in, so that no typed text reaches a screen here.
import { baselineOf, type Setup } from "../domain/session.ts";
import { gearWarnings } from "./gear-fit.ts";
import type { EndOfPlan, PlanSheet } from "./plan-figures.ts";
import { HOPELESS_DIFFERENCE, type HourFacts, hourWarnings } from "./plan-hour-warnings.ts";
import { sharedDay } from "./plan-shared.ts";
import { swapWarnings } from "./plan-swap-warnings.ts";
import type { SpreadEnds } from "./reach-curve.ts";
import { riderWarnings } from "./rider-warnings.ts";

/** Keys that may stand in a sentence; others are free text and only counted. */
const PLAIN_KEY = /^[A-Za-z0-9_]{1,40}$/;
const KEYS_NAMED = 4;
/** Runs from which `learning` costs nothing and gains. */
const LEARNING_PAYS = 16;
/** Runs below which `learning` costs much. */
const LEARNING_COSTS = 12;

export interface WarningFacts extends HourFacts {
  readonly end: EndOfPlan | undefined;
  readonly spreadS: number | null;
  /** Multiples of the spread at both ends of what is known of it. */
  readonly ends: SpreadEnds;
}

/** The warnings, what matters most first. */
export function planWarnings(sheet: PlanSheet, facts: WarningFacts): readonly string[] {
  const isExploring = sheet.explored != null;
  return [
    ...hourWarnings(sheet, facts),
    ...reachWarnings(sheet, facts),
    ...swapWarnings(sheet),
    ...gearWarnings(sheet),
    ...sharedWarnings(sheet),
    ...setupWarnings(sheet),
    ...(isExploring ? [] : learningWarnings(sheet, facts)),
    ...(isExploring ? [] : riderWarnings(sheet)),
  ];
}

/** How long the day is because riders share bikes and parts. */
function sharedWarnings(sheet: PlanSheet): readonly string[] {
  const day = sharedDay(sheet);
  if (day === null) return [];
  const limit = sheet.settings.minutes;
  const fits = limit === null || day.minutes <= limit;
  const of = limit === null ? "" : ` of ${limit.toFixed(0)}`;
  return [
    `with the bikes and wheels there are the day takes ${day.minutes.toFixed(0)}${of} min, about ${day.startsPerHour.toFixed(0)} starts an hour${fits ? "" : ": it does not fit; fewer runs, or another bike or wheelset"}`,
  ];
}

function reachWarnings(sheet: PlanSheet, facts: WarningFacts): readonly string[] {
  const { end, setups } = facts;
  if (setups < 2 && sheet.explored == null) {
    return ["there is one set-up alone: nothing is compared"];
  }
  if (end === undefined) return [];
  if (!Number.isFinite(end.smallestDifference)) {
    return ["these runs are too few for any band: nothing can be called"];
  }
  const many =
    setups > 2 && end.smallestDifference >= HOPELESS_DIFFERENCE
      ? [
          `${String(setups)} set-ups are too many for so few runs: only differences of ${end.smallestDifference.toFixed(1)} spreads or more are likely to be seen`,
        ]
      : [];
  return [...many, ...marginWarnings(sheet, facts, end)];
}

/** Whether "no difference worth having" can be said at all, as far as the spread is known. */
function marginWarnings(
  { settings: { marginS } }: PlanSheet,
  { spreadS, ends }: WarningFacts,
  { innerHalfWidth }: EndOfPlan,
): readonly string[] {
  if (marginS === null || spreadS === null) return [];
  const widthS = innerHalfWidth * spreadS;
  const [lowS, highS] = ends === null ? [widthS, widthS] : ends.map((each) => each * widthS);
  const what = `"no difference worth having" is out of reach with ${marginS.toFixed(1)} s worth having`;
  if (marginS > (highS ?? widthS)) return [];
  if (marginS > widthS) {
    return [`${what} if the spread is at the high end of what is known of it`];
  }
  if (marginS > (lowS ?? widthS)) {
    return [`${what} unless the spread is at the low end of what is known of it`];
  }
  if (!Number.isFinite(widthS)) return [what];
  return [`${what}: in this plan the band never gets narrower than about +-${widthS.toFixed(1)} s`];
}

function setupWarnings(sheet: PlanSheet): readonly string[] {
  const baseline = baselineOf(sheet.setups);
  return sheet.setups
    .filter((setup) => setup !== baseline)
    .flatMap((setup) => {
      const differing = differingKeys(setup, baseline);
      if (differing.length > 1) {
        return [
          `${setup.id} differs from ${baseline.id} in ${String(differing.length)} things (${named(differing)}): the times cannot say which of them did it`,
        ];
      }
      const isSame = differing.length === 0 && Object.keys(setup.values).length > 0;
      if (!isSame) return [];
      return [`${setup.id} and ${baseline.id} are the same on the sheet: a check of the method`];
    });
}

function learningWarnings(sheet: PlanSheet, facts: WarningFacts): readonly string[] {
  const { drift, days } = sheet.settings;
  const warnings: string[] = [];
  const isNothingNew = sheet.riders.every((rider) => rider.newTo.length === 0);
  if (isNothingNew && sheet.setups.length > 1) {
    warnings.push(
      "no set-up is marked as new to a rider (new_to): one that still has to be got used to looks slower than it is",
    );
  }
  if (facts.runs === null) return warnings;
  // Each day has a trend of its own.
  const runs = Math.ceil(facts.runs / days);
  const told = `${String(runs)} runs${days > 1 ? " a day" : ""}`;
  if (drift === "linear" && runs >= LEARNING_PAYS) {
    warnings.push(
      `with ${told}, or on a stretch that is new to the rider, drift = "learning" may serve better`,
    );
  }
  if (drift === "learning" && runs < LEARNING_COSTS) {
    warnings.push(`drift = "learning" costs much with ${told}: use "linear"`);
  }
  return warnings;
}

/** Keys of either set-up sheet whose values differ. */
function differingKeys(a: Setup, b: Setup): readonly string[] {
  const keys = new Set([...Object.keys(a.values), ...Object.keys(b.values)]);
  return [...keys].filter((key) => a.values[key] !== b.values[key]);
}

function named(keys: readonly string[]): string {
  const plain = keys.filter((key) => PLAIN_KEY.test(key)).slice(0, KEYS_NAMED);
  const more = keys.length - plain.length;
  return [...plain, ...(more > 0 ? [`${String(more)} more`] : [])].join(", ");
}
