// Invented plans whose days the tests simulate: a foam insert in the rear tyre against none.

import type { OrderKind } from "../../src/calibrate/order.ts";
import { type KindsOfDay, type Trial, trialOf } from "../../src/calibrate/trial.ts";
import { NO_HOURS } from "../../src/domain/day-hours.ts";
import { NO_GEAR } from "../../src/domain/gear.ts";
import type { Settings } from "../../src/domain/session.ts";

export interface TrialGiven {
  readonly setups?: readonly string[];
  readonly settings?: Partial<Settings>;
  readonly swapMinutes?: number;
  readonly newTo?: readonly string[];
  readonly riders?: readonly string[];
  readonly order?: OrderKind;
  readonly kinds?: KindsOfDay;
}

const SETTINGS: Settings = {
  name: "Rear tyre insert",
  date: "2026-05-09",
  zone: "Europe/Vienna",
  stretch: "Upper woods",
  expectedRunS: 90,
  lengthM: null,
  dropM: null,
  marginS: null,
  plannedRuns: 12,
  days: 1,
  minutes: null,
  lapMinutes: 8,
  spreadS: 1.2,
  drift: "linear",
  bands: "plan",
  spreads: "each",
  mainSetup: null,
  confidence: 0.95,
  seed: 7,
  travelMinS: 10,
  travelMaxS: 1800,
  spreadDf: null,
  aspects: [],
  start: null,
};

export function aTrial(given: TrialGiven = {}): Trial {
  const setups = given.setups ?? ["A", "B"];
  const sheet = {
    settings: { ...SETTINGS, ...given.settings },
    riders: (given.riders ?? ["R1"]).map((id) => ({
      id,
      name: id,
      tag: null,
      newTo: given.newTo ?? [],
      setups: null,
      plannedRuns: null,
    })),
    setups: setups.map((id, i) => ({
      id,
      name: id,
      baseline: i === 0,
      values: {},
      worthS: null,
      price: null,
      weightKg: null,
    })),
    swaps: setups.flatMap((from) =>
      setups
        .filter((to) => to !== from)
        .map((to) => ({ from, to, minutes: given.swapMinutes ?? 0 })),
    ),
    hours: NO_HOURS,
    gear: NO_GEAR,
  };
  return trialOf(sheet, given.order ?? "suggested", null, given.kinds ?? "all");
}
