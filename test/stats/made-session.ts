// Sessions made by hand for the tests of the statistics.
import type { ComparisonInput } from "../../src/domain/comparison.ts";
import { NO_HOURS } from "../../src/domain/day-hours.ts";
import type { Incident } from "../../src/domain/happening.ts";
import type { Run, RunStatus } from "../../src/domain/run.ts";
import type { Rider, Settings } from "../../src/domain/session.ts";

export interface MadeRun {
  readonly setup: string;
  readonly timeS: number | null;
  readonly rider?: string;
  readonly day?: number;
  readonly status?: RunStatus;
  readonly sectorS?: readonly (number | null)[];
  readonly voidSectors?: readonly number[];
  readonly reason?: string;
  readonly isMarkedOk?: boolean;
  /** Default: counted up for each rider and day from the first run that is no warm-up. */
  readonly k?: number;
  readonly ground?: number;
}

export interface MadeSession {
  readonly runs: readonly MadeRun[];
  readonly setups?: readonly string[];
  readonly plannedSetups?: readonly string[];
  /** Declared before run 1; default: all of `riders`. */
  readonly plannedRiders?: readonly string[];
  readonly baseline?: string;
  readonly riders?: readonly string[];
  readonly newTo?: Readonly<Record<string, readonly string[]>>;
  /** What riders ride of their own; by default all set-ups and the session's runs. */
  readonly own?: Readonly<Record<string, Partial<Pick<Rider, "setups" | "plannedRuns">>>>;
  readonly sectors?: readonly string[];
  readonly settings?: Partial<Settings>;
  readonly plannedEnds?: ComparisonInput["plannedEnds"];
  /** By run, counted from 1. */
  readonly incidents?: readonly Pick<Incident, "runId" | "kind">[];
  readonly isClosed?: boolean;
  /** Of the next start; by default that of the last run. */
  readonly ground?: number;
}

const SETTINGS: Settings = {
  name: "Insert against none",
  date: "2026-05-09",
  zone: "Europe/Vienna",
  stretch: "Upper woods",
  expectedRunS: null,
  lengthM: null,
  dropM: null,
  marginS: null,
  plannedRuns: 12,
  days: 1,
  minutes: null,
  lapMinutes: null,
  spreadS: null,
  drift: "linear",
  bands: "plan",
  spreads: "common",
  mainSetup: null,
  confidence: 0.95,
  seed: 7,
  travelMinS: 10,
  travelMaxS: 1800,
  spreadDf: null,
  aspects: [],
  start: null,
};

/** A session as the statistics see it: rider R1, set-ups A (baseline) and B unless told. */
export function madeSession(made: MadeSession): ComparisonInput {
  const setups = made.setups ?? ["A", "B"];
  const baseline = made.baseline ?? setups[0];
  const riders = made.riders ?? ["R1"];
  const taken = new Map<string, number>();
  return {
    settings: { ...SETTINGS, ...made.settings },
    riders: riders.map((id) => ({
      id,
      name: id,
      tag: null,
      newTo: made.newTo?.[id] ?? [],
      setups: null,
      plannedRuns: null,
      ...made.own?.[id],
    })),
    setups: setups.map((id) => ({
      id,
      name: id,
      baseline: id === baseline,
      values: {},
      worthS: null,
      price: null,
      weightKg: null,
    })),
    plannedSetups: made.plannedSetups ?? setups,
    plannedRiders: made.plannedRiders ?? riders,
    swaps: [],
    sectors: made.sectors ?? ["whole"],
    runs: made.runs.map((run, i) => finishedRun(run, i, taken)),
    plannedEnds: made.plannedEnds ?? [],
    ratings: [],
    measures: [],
    hours: NO_HOURS,
    incidents: (made.incidents ?? []).map((each, i) => ({
      ...each,
      entrySeq: i + 1,
      sector: null,
      note: null,
    })),
    isClosed: made.isClosed ?? false,
    ground: made.ground ?? made.runs.at(-1)?.ground ?? 0,
    mounted: {},
  };
}

/** Times on set-ups in order, all counted. */
export function countedRuns(order: readonly string[], times: readonly number[]): MadeRun[] {
  return order.map((setup, i) => ({ setup, timeS: times[i] ?? Number.NaN }));
}

function finishedRun(run: MadeRun, index: number, taken: Map<string, number>): Run {
  const rider = run.rider ?? "R1";
  const day = run.day ?? 0;
  const status = run.status ?? "ok";
  const block = `${rider} ${String(day)}`;
  const before = taken.get(block) ?? 0;
  const isBeforeFirst = status === "warm-up" && before === 0;
  const k = run.k ?? (isBeforeFirst ? null : before + 1);
  if (k !== null) taken.set(block, k);
  return {
    runId: String(index + 1),
    rider,
    setup: run.setup,
    day,
    k,
    ground: run.ground ?? 0,
    status,
    startedAt: null,
    finishedAt: null,
    timeS: run.timeS,
    uncertaintyS: null,
    sectorS: run.sectorS ?? [],
    voidSectors: run.voidSectors ?? [],
    lastGate: 1,
    reason: run.reason ?? null,
    isMarkedOk: run.isMarkedOk ?? false,
    timedBy: "import",
    provisional: false,
    flags: [],
    note: null,
  };
}

/** A seeded source of standard normal numbers (32-bit mixing counter, Box-Muller). */
export function normals(seed: number): () => number {
  let state = seed >>> 0;
  const uniform = (): number => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return (((t ^ (t >>> 14)) >>> 0) + 0.5) / 4294967296;
  };
  return () => Math.sqrt(-2 * Math.log(uniform())) * Math.cos(2 * Math.PI * uniform());
}
