// What a planner should hear before the day, in plain words; called by plan-day.ts. Only ids, keys
// and numbers go in, so that no typed text reaches a screen here.
import { baselineOf, type Setup } from "../domain/session.ts";
import type { EndOfPlan, PlanSheet } from "./plan-figures.ts";
import { riderWarnings } from "./rider-warnings.ts";
import { WARM_UP_LAPS } from "./timetable.ts";

/** Keys that may stand in a sentence; others are free text and only counted. */
const PLAIN_KEY = /^[A-Za-z0-9_]{1,40}$/;
const KEYS_NAMED = 4;
/** In spreads; beyond it only differences show that nobody needs a clock for. */
const HOPELESS_DIFFERENCE = 2.2;
/** Runs from which `learning` costs nothing and gains. */
const LEARNING_PAYS = 16;
/** Runs below which `learning` costs much. */
const LEARNING_COSTS = 12;

export interface WarningFacts {
  /** Set-ups of the rider whose plan this is. */
  readonly setups: number;
  readonly runs: number | null;
  /** Of the longest day, with practice runs. */
  readonly neededMinutes: number | null;
  readonly runsThatFit: number | null;
  readonly end: EndOfPlan | undefined;
  readonly spreadS: number | null;
  readonly isReachable: boolean;
}

/** The warnings, what matters most first. */
export function planWarnings(sheet: PlanSheet, facts: WarningFacts): readonly string[] {
  return [
    ...hourWarnings(sheet, facts),
    ...reachWarnings(sheet, facts),
    ...setupWarnings(sheet),
    ...learningWarnings(sheet, facts),
    ...riderWarnings(sheet),
  ];
}

function hourWarnings(sheet: PlanSheet, facts: WarningFacts): readonly string[] {
  const { minutes: limit, lapMinutes, days } = sheet.settings;
  const { neededMinutes, runsThatFit, runs, setups } = facts;
  if (limit === null || lapMinutes === null || neededMinutes === null) return [];
  const warmUp = WARM_UP_LAPS * lapMinutes;
  if (neededMinutes > limit) {
    const many =
      setups > 2 ? `${String(setups)} set-ups are too many for the hours: ` : "does not fit: ";
    const each = days > 1 ? ` over ${String(days)} days` : "";
    const take = days > 1 ? "take on the longest" : "take";
    return [
      `${many}${String(runs ?? 0)} runs${each} with their swaps and practice ${take} ${whole(neededMinutes)} of ${whole(limit)} min; ` +
        `${String(runsThatFit ?? 0)} runs would fit`,
    ];
  }
  if (neededMinutes + warmUp <= limit) return [];
  const over = whole(neededMinutes + warmUp - limit);
  return [`a warm-up of ${String(WARM_UP_LAPS)} laps would end the day ${over} min late`];
}

function reachWarnings(sheet: PlanSheet, facts: WarningFacts): readonly string[] {
  const { end, spreadS, isReachable, setups } = facts;
  const { marginS } = sheet.settings;
  if (end === undefined) return [];
  const warnings: string[] = [];
  if (!Number.isFinite(end.smallestDifference)) {
    warnings.push("these runs are too few for any band: nothing can be called");
  } else if (setups > 2 && end.smallestDifference >= HOPELESS_DIFFERENCE) {
    const spreads = end.smallestDifference.toFixed(1);
    warnings.push(
      `${String(setups)} set-ups are too many for so few runs: only differences of ${spreads} spreads or more are likely to be seen`,
    );
  }
  if (marginS === null || spreadS === null || isReachable) return warnings;
  const inner = end.innerHalfWidth * spreadS;
  const ends = Number.isFinite(inner) ? `: the band will end at about +-${inner.toFixed(1)} s` : "";
  warnings.push(
    `"no difference worth having" is out of reach with ${marginS.toFixed(1)} s worth having${ends}`,
  );
  return warnings;
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

function whole(minutes: number): string {
  return String(Math.round(minutes));
}
