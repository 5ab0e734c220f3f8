// An invented day through the real fold and the real figures: what the screens are tested with.
import { fixPlan } from "../../src/advisor/fix-plan.ts";
import { NO_HOURS } from "../../src/domain/day-hours.ts";
import { NO_GEAR } from "../../src/domain/gear.ts";
import { type SessionUs, sessionUs } from "../../src/domain/time.ts";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import { type Summary, summarise } from "../../src/summary/summary.ts";
import {
  A,
  ANCHOR_US,
  B,
  F1,
  JournalWriter,
  P1,
  R1,
  R2,
  S1,
  settings,
} from "../session/a-journal.ts";

/** Session time so many seconds after the laptop's zero, 2026-05-09 08:00 UTC. */
export function instant(atS: number): SessionUs {
  return sessionUs(ANCHOR_US + Math.round(atS * 1e6));
}

export function summaryOf(journal: JournalWriter): Summary {
  return summarise(sessionOf(extendFold(emptyFold(), journal.entries)));
}

/** chosen: noise of about 0.6 s, drift of a tenth of a second a run, the insert 2.4 s quicker. */
const TIMES = [
  131.214, 128.905, 129.377, 131.842, 132.406, 129.118, 130.052, 131.977, 132.633, 129.804,
] as const;
const ORDER = "ABBAABBAAB";
const LAP_S = 300;

export interface DayOptions {
  /** Finished runs, up to ten; the first is at 600 s, then one each five minutes. */
  readonly runs: number;
  readonly isByHand?: boolean;
  readonly riders?: 1 | 2;
  readonly given?: Partial<typeof settings>;
}

/** A morning with two gates, or three; heartbeats of the boxes until the last run. */
export function aDay(options: DayOptions): JournalWriter {
  const journal = new JournalWriter();
  const riders = options.riders === 2 ? [R1, R2] : [R1];
  const box = (id: string): string | null => (options.isByHand === true ? null : id);
  const gate = (role: "start" | "split" | "finish", id: string, sector: string | null) => ({
    role,
    box: box(id),
    sector,
    terrain: null,
  });
  const gates = [
    gate("start", "S1", null),
    gate("split", "P1", "Roots"),
    gate("finish", "F1", "Steep gully"),
  ];
  const given = { zone: "UTC", ...options.given };
  journal.made(gates, riders, given);
  const sheet = {
    settings: { ...settings, ...given },
    gates,
    riders,
    setups: [A, B],
    swaps: [],
    hours: NO_HOURS,
    gear: NO_GEAR,
  };
  journal.write(1, { type: "plan-fixed", body: fixPlan(sheet) });
  if (options.isByHand !== true) {
    for (const each of [S1, P1, F1]) {
      // As often as a box on a cable speaks, which is learnt from the first ones.
      for (let s = 482; s <= 500; s += 2) journal.heartbeat(each, s);
      journal.exchanges(each, 500, 560);
      journal.exchanges(each, 600, 600 + options.runs * LAP_S, 60);
    }
  }
  let mounted = "A";
  for (let i = 0; i < options.runs; i++) {
    const setup = ORDER[i] ?? "A";
    const startS = 600 + i * LAP_S;
    if (setup !== mounted) {
      const body = { rider: "R1", setup, minutes: null, checked: true };
      journal.write(startS - 60, { type: "setup-swapped", body });
      mounted = setup;
    }
    ride(journal, startS, TIMES[i] ?? 130, options.isByHand === true);
  }
  return journal;
}

/** A ride through all three gates. */
export function ride(
  journal: JournalWriter,
  startS: number,
  timeS: number,
  isByHand = false,
): void {
  const splitS = startS + timeS * 0.45;
  const finishS = startS + timeS;
  if (isByHand) {
    journal.key(0, startS);
    journal.key(1, splitS);
    journal.key(2, finishS);
    return;
  }
  journal.bike(S1, startS);
  journal.bike(P1, splitS);
  journal.bike(F1, finishS);
  for (const each of [S1, P1, F1]) journal.heartbeat(each, finishS + 1, 100);
}

/** The boxes are heard at this instant. */
export function heard(journal: JournalWriter, atS: number): JournalWriter {
  for (const each of [S1, P1, F1]) journal.heartbeat(each, atS, 100);
  return journal;
}
