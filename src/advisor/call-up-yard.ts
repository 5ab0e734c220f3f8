// Where every bike and part is, from when it is free, and when mechanics swap; worked on by call-up.ts.
// Times are minutes; minus infinity is before the day.
import type { Bike } from "../domain/gear.ts";
import type { RiderId, SetupId } from "../domain/session.ts";
import type { BikeFit, Need } from "./gear-fit.ts";

/** A bike or a part: free from when, and who rode it last. */
interface Item {
  readonly freeAt: number;
  readonly by: RiderId | null;
}

interface BikeState extends Item {
  /** The last set-up on it, also where a part was taken off since; null: not known. */
  readonly mounted: SetupId | null;
}

interface PartState extends Item {
  /** Key of the bike that it is on; null: on none. */
  readonly on: string | null;
}

export interface Yard {
  /** By `bikeKey`. */
  readonly bikes: ReadonlyMap<string, BikeState>;
  /** By id. */
  readonly parts: ReadonlyMap<string, PartState>;
  /** Planned, of every mechanic. */
  readonly swaps: readonly Swapping[];
}

interface Swapping {
  readonly from: number;
  readonly to: number;
}

/** What swaps take. */
export interface SwapRules {
  /** Minutes; from null: what is on the bike is not known, or the set-up lacks a part there. */
  readonly swapMinutes: (from: SetupId | null, to: SetupId) => number;
  /** Swaps at once; null: as many as are wanted. */
  readonly mechanics: number | null;
}

/** A bike that is made ready for a ride. */
export interface Fitting {
  readonly key: string;
  readonly bike: Bike | null;
  readonly setup: SetupId;
  /** Ids, one of each kind needed. */
  readonly parts: readonly string[];
  /** False: all is on the bike already. */
  readonly isSwap: boolean;
  readonly from: SetupId | null;
  readonly swapMinutes: number;
  /** All that is needed is free. */
  readonly freeAt: number;
  /** What is free last, and who has it. */
  readonly lastFree: { readonly id: string | null; readonly by: RiderId | null };
  /** Later than `freeAt` where no mechanic is free before. */
  readonly swapAt: number;
  readonly readyAt: number;
}

/** Key of a bike among all: its id, or the rider's own. */
export function bikeKey(bike: Bike | null, rider: RiderId): string {
  return bike?.id ?? `own ${rider}`;
}

/** The fitting that is ready first; of equal ones the shorter swap, then the earlier bike. */
export function soonestFitting(
  yard: Yard,
  fits: readonly BikeFit[],
  rider: RiderId,
  setup: SetupId,
  rules: SwapRules,
): Fitting | undefined {
  const [best] = fits
    .map((fit) => fittingOn(yard, fit, rider, setup, rules))
    .toSorted((a, b) =>
      a.readyAt === b.readyAt ? a.swapMinutes - b.swapMinutes : a.readyAt - b.readyAt,
    );
  return best;
}

function fittingOn(
  yard: Yard,
  { bike, needs }: BikeFit,
  rider: RiderId,
  setup: SetupId,
  rules: SwapRules,
): Fitting {
  const key = bikeKey(bike, rider);
  const state = yard.bikes.get(key) ?? UNTOUCHED;
  const parts = needs.flatMap((need) => soonestPart(yard, need, key) ?? []);
  const isSwap = state.mounted !== setup || parts.some((id) => yard.parts.get(id)?.on !== key);
  const from = state.mounted === setup ? null : state.mounted;
  const swapMinutes = isSwap ? rules.swapMinutes(from, setup) : 0;
  const items = [
    { id: bike?.id ?? null, ...state },
    ...parts.map((id) => ({ id, ...(yard.parts.get(id) ?? UNTOUCHED) })),
  ];
  const lastFree = items.reduce((last, item) => (item.freeAt > last.freeAt ? item : last));
  const { freeAt } = lastFree;
  const swapAt = mechanicFreeAt(yard.swaps, rules.mechanics, freeAt, swapMinutes);
  return {
    key,
    bike,
    setup,
    parts,
    isSwap,
    from,
    swapMinutes,
    freeAt,
    lastFree: { id: lastFree.id, by: lastFree.by },
    swapAt,
    readyAt: swapAt + swapMinutes,
  };
}

const UNTOUCHED: BikeState & PartState = {
  mounted: null,
  on: null,
  freeAt: Number.NEGATIVE_INFINITY,
  by: null,
};

/** The one on the bike, else the one free first; of equal ones rather one that is on no bike. */
function soonestPart(yard: Yard, { parts }: Need, key: string): string | undefined {
  const ranked = parts.map(({ id }) => {
    const state = yard.parts.get(id) ?? UNTOUCHED;
    return { id, isHere: state.on === key, isLoose: state.on === null, freeAt: state.freeAt };
  });
  const [first] = ranked.toSorted(
    (a, b) =>
      Number(b.isHere) - Number(a.isHere) ||
      (a.freeAt === b.freeAt ? Number(b.isLoose) - Number(a.isLoose) : a.freeAt - b.freeAt),
  );
  return first?.id;
}

/** The first time from which a mechanic is free for so long. */
function mechanicFreeAt(
  swaps: readonly Swapping[],
  mechanics: number | null,
  from: number,
  minutes: number,
): number {
  if (mechanics === null || minutes === 0) return from;
  const busy = (at: number): number => swaps.filter((s) => s.from <= at && at < s.to).length;
  const isFree = (at: number): boolean =>
    [at, ...swaps.map((s) => s.from).filter((f) => f > at && f < at + minutes)].every(
      (moment) => busy(moment) < mechanics,
    );
  const ends = swaps.map((swap) => swap.to).filter((to) => to > from);
  // After the last of them nothing is planned, so one of these is free.
  return [from, ...ends.toSorted((a, b) => a - b)].find(isFree) ?? from;
}

/** The yard once the fitting is on its way: nothing of it is free before the lap's end. */
export function takenOut(yard: Yard, fitting: Fitting, rider: RiderId, lapEnd: number): Yard {
  const { swapAt, readyAt, swapMinutes } = fitting;
  const isCounted = swapMinutes > 0 && Number.isFinite(swapAt);
  const fitted = withFitting(yard, fitting, { freeAt: lapEnd, by: rider });
  return isCounted ? { ...fitted, swaps: [...yard.swaps, { from: swapAt, to: readyAt }] } : fitted;
}

/** The yard with a set-up and its parts on a bike; what was on the bike besides is on none. */
export function withFitting(
  yard: Yard,
  { key, setup, parts }: Pick<Fitting, "key" | "setup" | "parts">,
  item: Item,
): Yard {
  const states = [...yard.parts].map(([id, part]): readonly [string, PartState] => {
    if (parts.includes(id)) return [id, { ...item, on: key }];
    return [id, part.on === key ? { ...part, on: null } : part];
  });
  const bikes = new Map(yard.bikes).set(key, { ...item, mounted: setup });
  return { ...yard, bikes, parts: new Map(states) };
}
