// What is fixed about a session before it is ridden: course, riders, set-ups, settings.
import type { DayHours } from "./day-hours.ts";
import type { Explored } from "./explored.ts";
import type { ForeignLine } from "./foreign-line.ts";
import type { Gear } from "./gear.ts";
import type { BoxId, RiderId, SetupId } from "./ids.ts";

export type { BoxId, RiderId, SetupId } from "./ids.ts";

type GateRole = "start" | "split" | "finish";

/** A place where passing is detected, in riding order; sectors lie between neighbours. */
export interface Gate {
  readonly role: GateRole;
  /** Box id, or null for hand timing. Start and finish may be one box (a loop). */
  readonly box: BoxId | null;
  /** Name of the sector that ENDS at this gate; null if not named. */
  readonly sector: string | null;
  readonly terrain: string | null;
}

export interface Rider {
  readonly id: RiderId;
  readonly name: string;
  /** Transponder id, 1 to 8 of [0-9A-Z], or null. */
  readonly tag: string | null;
  /** Set-ups that this rider still has to get used to. */
  readonly newTo: readonly SetupId[];
  /** Set-ups that this rider rides, declared order; null: all of the session. */
  readonly setups: readonly SetupId[] | null;
  /** Counted runs of this rider; null: as many as the session plans for everybody. */
  readonly plannedRuns: number | null;
}

export interface Setup {
  readonly id: SetupId;
  readonly name: string;
  readonly baseline: boolean;
  /** The set-up sheet, copies through `from` already resolved; keys carry their unit. */
  readonly values: Readonly<Record<string, string | number | boolean>>;
  /** What it has to gain on the baseline to be worth having, s; null: the session's margin. */
  readonly worthS: number | null;
  /** In the user's own money; null if not told. */
  readonly price: number | null;
  /** Of the bike as ridden, or of what differs: the same for every set-up; null if not told. */
  readonly weightKg: number | null;
}

export interface SwapCost {
  readonly from: SetupId;
  readonly to: SetupId;
  readonly minutes: number;
  /** Where it is done: `top`, `bottom`, `car`, free text. */
  readonly place?: string | null;
}

export type DriftModel = "none" | "linear" | "learning";
export type BandKind = "plan" | "open";
export type SpreadKind = "each" | "common";

export interface Settings {
  readonly name: string;
  /** Calendar date of the session, `2026-05-09`. */
  readonly date: string;
  /** IANA zone name, for display only; stored times are UTC. */
  readonly zone: string;
  readonly stretch: string;
  readonly expectedRunS: number | null;
  readonly lengthM: number | null;
  readonly dropM: number | null;
  /** Smallest difference worth having, s; null if none was named. */
  readonly marginS: number | null;
  /** Counted runs of one rider; null: no plan, open band. */
  readonly plannedRuns: number | null;
  /** Days that the planned runs are spread over, declared before the first; 1 or more. */
  readonly days: number;
  /** First start to last finish, minutes. */
  readonly minutes: number | null;
  /** A run and the way back up, minutes. */
  readonly lapMinutes: number | null;
  readonly spreadS: number | null;
  /** Degrees of freedom that the spread is known with, from earlier days; null: it was only told. */
  readonly spreadDf: number | null;
  readonly drift: DriftModel;
  readonly bands: BandKind;
  readonly spreads: SpreadKind;
  /** Set-up that the day is about, declared before run 1: it gets the larger share of the level; null: all alike. */
  readonly mainSetup: SetupId | null;
  /** 0.90 to 0.999. */
  readonly confidence: number;
  /** For the order's shuffle and the coin at ties. */
  readonly seed: number;
  /** Matching limits until three runs exist, s. */
  readonly travelMinS: number;
  readonly travelMaxS: number;
  /** What the rider is asked about after each run, 1 (worst) to 10, the main one first; at most four. */
  readonly aspects: readonly string[];
  /** How a run is started: standing, or rolling from a mark; null: not told. */
  readonly start: string | null;
}

/** Everything a session sheet says, defaults filled in. */
export interface Sheet {
  readonly settings: Settings;
  readonly gates: readonly Gate[];
  readonly riders: readonly Rider[];
  /** In declared order; exactly one is the baseline. */
  readonly setups: readonly Setup[];
  readonly swaps: readonly SwapCost[];
  readonly hours: DayHours;
  readonly gear: Gear;
  /** Null: declared set-ups are compared. */
  readonly explored: Explored | null;
  /** Lines of receivers that speak a protocol of their own. */
  readonly lines: readonly ForeignLine[];
}

/** Names of the sectors in riding order; one fewer than the gates. Unnamed ones are "Sector 2". */
export function sectorNames(gates: readonly Gate[]): readonly string[] {
  return gates.slice(1).map((gate, i) => gate.sector ?? `Sector ${String(i + 1)}`);
}

/** The set-up that the others are compared with. */
export function baselineOf(setups: readonly Setup[]): Setup {
  const found = setups.find((s) => s.baseline) ?? setups[0];
  if (found === undefined) throw new RangeError("a session has at least one set-up");
  return found;
}

/** Minutes to change from one set-up to another; the reverse costs the same unless given; default 0. */
export function swapMinutes(swaps: readonly SwapCost[], from: SetupId, to: SetupId): number {
  if (from === to) return 0;
  const there = swaps.find((s) => s.from === from && s.to === to);
  const back = swaps.find((s) => s.from === to && s.to === from);
  return (there ?? back)?.minutes ?? 0;
}
