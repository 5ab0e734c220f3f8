// Invented sessions for the advisor's tests: a foam insert in the rear tyre against none.
import type { ComparisonInput } from "../../src/domain/comparison.ts";
import { NO_HOURS } from "../../src/domain/day-hours.ts";
import { NO_GEAR } from "../../src/domain/gear.ts";
import type { Run, RunStatus } from "../../src/domain/run.ts";
import type { Rider, Settings, SetupId, Sheet, SwapCost } from "../../src/domain/session.ts";
import { sessionUs } from "../../src/domain/time.ts";

const settings: Settings = {
  name: "Rear tyre insert",
  date: "2026-05-09",
  zone: "Europe/Vienna",
  stretch: "Upper woods",
  expectedRunS: 90,
  lengthM: null,
  dropM: null,
  marginS: null,
  plannedRuns: 20,
  days: 1,
  minutes: null,
  lapMinutes: null,
  spreadS: null,
  drift: "linear",
  bands: "plan",
  spreads: "common",
  mainSetup: null,
  confidence: 0.95,
  seed: 1,
  travelMinS: 10,
  travelMaxS: 1800,
  spreadDf: null,
  aspects: [],
  start: null,
};

export interface RunGiven {
  readonly setup: SetupId;
  readonly timeS?: number;
  readonly rider?: string;
  readonly status?: RunStatus;
  readonly ground?: number;
  /** Minutes after the first start of the day; left out: not timed by the clock. */
  readonly startedMin?: number;
  readonly finishedMin?: number;
  readonly timedBy?: Run["timedBy"];
}

export interface SessionGiven {
  readonly setups?: readonly SetupId[];
  readonly riders?: readonly (Pick<Rider, "id"> & Partial<Rider>)[];
  readonly swaps?: readonly SwapCost[];
  /** One cost for every swap. */
  readonly swapMinutes?: number;
  readonly settings?: Partial<Settings>;
  readonly runs?: readonly RunGiven[];
  readonly mounted?: SetupId;
  /** Of the next start; by default that of the last run. */
  readonly ground?: number;
  readonly plannedEnds?: ComparisonInput["plannedEnds"];
  readonly hours?: Partial<Sheet["hours"]>;
  readonly gear?: Partial<Sheet["gear"]>;
}

/** What a sheet says. */
export function sheetOf(given: SessionGiven): Sheet {
  const ids = given.setups ?? ["A", "B"];
  const swaps = ids.flatMap((from) =>
    ids.filter((to) => to !== from).map((to) => ({ from, to, minutes: given.swapMinutes ?? 0 })),
  );
  return {
    settings: { ...settings, ...given.settings },
    gates: [],
    riders: (given.riders ?? [{ id: "R1" }]).map((r) => ({
      name: r.id,
      tag: null,
      newTo: [],
      setups: null,
      plannedRuns: null,
      ...r,
    })),
    setups: ids.map((id, i) => ({
      id,
      name: id,
      baseline: i === 0,
      values: {},
      worthS: null,
      price: null,
      weightKg: null,
    })),
    swaps: given.swaps ?? swaps,
    hours: { ...NO_HOURS, ...given.hours },
    gear: { ...NO_GEAR, ...given.gear },
    explored: null,
    lines: [],
  };
}

/** The session with its runs, each rider's k counted up. */
export function sessionOf(given: SessionGiven): ComparisonInput {
  const sheet = sheetOf(given);
  const places = new Map<string, number>();
  const last = new Map<string, SetupId>();
  const first = sheet.setups[0]?.id ?? "";
  const runs = (given.runs ?? []).map((run, i): Run => {
    const rider = run.rider ?? sheet.riders[0]?.id ?? "";
    const status = run.status ?? "ok";
    const k = status === "warm-up" ? null : (places.get(rider) ?? 0) + 1;
    if (k !== null) places.set(rider, k);
    last.set(rider, run.setup);
    const at = (minutes: number | undefined) =>
      minutes === undefined ? null : sessionUs(1.7e15 + minutes * 60e6);
    return {
      runId: String(i + 1),
      rider,
      setup: run.setup,
      day: 0,
      k,
      ground: run.ground ?? 0,
      status,
      startedAt: at(run.startedMin),
      finishedAt: at(run.finishedMin),
      timeS: status === "on-course" || status === "dnf" ? null : (run.timeS ?? 90 + (i % 3)),
      uncertaintyS: null,
      sectorS: [],
      voidSectors: [],
      lastGate: 1,
      reason: null,
      isMarkedOk: false,
      timedBy: run.timedBy ?? "hand",
      provisional: false,
      flags: [],
      note: null,
    };
  });
  return {
    settings: sheet.settings,
    riders: sheet.riders,
    setups: sheet.setups,
    plannedRiders: sheet.riders.map((rider) => rider.id),
    plannedSetups: sheet.setups.map((setup) => setup.id),
    swaps: sheet.swaps,
    sectors: ["whole"],
    runs,
    plannedEnds: given.plannedEnds ?? [],
    incidents: [],
    ratings: [],
    measures: [],
    hours: sheet.hours,
    isClosed: false,
    ground: given.ground ?? runs.at(-1)?.ground ?? 0,
    mounted: Object.fromEntries(
      sheet.riders.map((r) => [r.id, given.mounted ?? last.get(r.id) ?? first]),
    ),
  };
}

/** Runs in the order of the letters, `ABBA`. */
export function runsOf(order: string, times?: readonly number[]): readonly RunGiven[] {
  return Array.from(order, (setup, i) => {
    const timeS = times?.[i];
    return timeS === undefined ? { setup } : { setup, timeS };
  });
}
