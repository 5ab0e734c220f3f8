// Bikes and parts that several riders share, as objects: none can be in two places at once.
import type { RiderId, SetupId } from "./ids.ts";

/** What must be alike for a part to go on a bike; null: not said, then it is taken to fit. */
export interface Standards {
  readonly axle: string | null;
  readonly rotor: string | null;
  readonly freehub: string | null;
}

export interface Bike {
  readonly id: string;
  readonly name: string;
  readonly size: string | null;
  /** Whom it fits; null: everybody. */
  readonly riders: readonly RiderId[] | null;
  readonly standards: Standards;
}

/** A part that a set-up needs: of parts of one kind any will do, of each kind one is needed. */
export interface Part {
  readonly id: string;
  readonly name: string;
  /** `wheelset`, `front wheel`, `shock`: free text. */
  readonly kind: string;
  /** Set-ups that it is part of. */
  readonly setups: readonly SetupId[];
  readonly standards: Standards;
  /** Transponder on the part, read at the start; null: none. */
  readonly tag?: string | null;
}

export interface Gear {
  /** None: every rider has a bike of their own. */
  readonly bikes: readonly Bike[];
  /** None: every bike has all that the set-ups need. */
  readonly parts: readonly Part[];
  /** How many swaps can be done at once; null: as many as are wanted. */
  readonly mechanics: number | null;
}

export const NO_GEAR: Gear = { bikes: [], parts: [], mechanics: null };

/** The part that carries a transponder; null: no part of the session does. */
export function partOfTag({ parts }: Gear, tag: string): Part | null {
  return parts.find((part) => part.tag === tag) ?? null;
}

/** True if a transponder is on a part, so that what it says is no rider's name. */
export function isPartTag(gear: Gear, tag: string): boolean {
  return partOfTag(gear, tag) !== null;
}
