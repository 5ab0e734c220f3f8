// An instant of a box on common session time; called for each passing of a box. Times that no later
// exchange can change are kept.
import { boxClock, hostTimeOf } from "../clock/box-clock.ts";
import type { ClockExchange } from "../domain/exchange.ts";
import type { Instant } from "../domain/passing.ts";
import { type BoxUs, sessionUs } from "../domain/time.ts";
import type { BootEvidence, ExchangeGroup } from "./evidence.ts";
import { itemsOf } from "./growing.ts";

/**
 * chosen: scatter of a line's arrival over a radio (simulated: 2 ms + exp(6 ms), 3 % 200 ms late);
 * such times only put passings in order, the runs made of them do not count.
 */
const ROUGH_S = 0.05;

/**
 * chosen: further than the fit's windows reach before the last exchange before an instant, and after
 * the first one after it. Only these are looked at, so that a time never changes once there is an
 * exchange beyond them. Test: "folded in any cuts gives the session of folding it at once".
 */
const REACH_BACK_US = 1_300_000_000;
const REACH_ON_US = 700_000_000;

interface Settled {
  readonly reading: Instant;
  /** Exchanges that it rests on: an older version of the list may not have them. */
  readonly needs: number;
}

/** Times that no later exchange changes, by box time; shared by all versions of a list. */
const settledOf = new WeakMap<readonly ClockExchange[], Map<number, Settled>>();
const sortedOf = new WeakMap<ExchangeGroup, readonly ClockExchange[]>();

function middle(exchange: ClockExchange): number {
  return (exchange.t2Us + exchange.t3Us) / 2;
}

/** The exchanges in order of box time, as they nearly always come. */
function inOrder(group: ExchangeGroup): readonly ClockExchange[] {
  const known = sortedOf.get(group);
  if (known !== undefined) return known;
  const items = itemsOf(group.exchanges);
  let isSorted = true;
  let before = Number.NEGATIVE_INFINITY;
  for (const item of items) {
    const mid = middle(item);
    isSorted &&= before <= mid;
    before = mid;
  }
  // A copy: the list is kept, and what it was made from may grow for another holder.
  const sorted = isSorted ? items.slice() : items.toSorted((a, b) => middle(a) - middle(b));
  sortedOf.set(group, sorted);
  return sorted;
}

/** Index of the first exchange that is not before a box time. */
function firstFrom(sorted: readonly ClockExchange[], at: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const half = (low + high) >> 1;
    const exchange = sorted[half];
    if (exchange !== undefined && middle(exchange) < at) low = half + 1;
    else high = half;
  }
  return low;
}

/** The exchanges that bear on an instant, and whether later ones can still join them. */
function bearingOn(
  sorted: readonly ClockExchange[],
  at: number,
): { readonly exchanges: readonly ClockExchange[]; readonly isWhole: boolean } {
  const next = firstFrom(sorted, at);
  const before = sorted[next - 1];
  const after = sorted[next];
  const from = before === undefined ? 0 : firstFrom(sorted, middle(before) - REACH_BACK_US);
  const to = after === undefined ? sorted.length : firstFrom(sorted, middle(after) + REACH_ON_US);
  return { exchanges: sorted.slice(from, to), isWhole: to < sorted.length };
}

function byGroup(group: ExchangeGroup, at: BoxUs, anchorUs: number): Instant | null {
  const { shared, length } = group.exchanges;
  const settled = settledOf.get(shared) ?? new Map<number, Settled>();
  settledOf.set(shared, settled);
  const known = settled.get(at);
  if (known !== undefined && known.needs <= length) return known.reading;
  const { exchanges, isWhole } = bearingOn(inOrder(group), at);
  const read = hostTimeOf(boxClock(exchanges), at);
  if (!read.ok) return null;
  const { hostUs, uncertaintyUs, leastRoundTripUs, isProvisional } = read.value;
  const reading: Instant = {
    at: sessionUs(Math.round(hostUs + anchorUs)),
    host: group.host,
    uncertaintyS: uncertaintyUs / 1e6,
    leastTripS: leastRoundTripUs / 1e6,
    isProvisional,
    isRough: false,
  };
  if (isWhole) settled.set(at, { reading, needs: length });
  return reading;
}

/**
 * Where an instant of a box lies on session time, on each run of the laptop's clock that knows that
 * boot of the box; the best known first.
 *
 * @param arrivedOn - host that its line came in on: of equals this one comes first
 * @returns at least one for every boot that sent a line
 */
export function boxInstants(
  boot: BootEvidence,
  at: BoxUs,
  arrivedOn: string,
  anchorsUs: ReadonlyMap<string, number>,
): readonly Instant[] {
  const byExchange = [...boot.exchanges.values()].flatMap(
    (group) => byGroup(group, at, anchorsUs.get(group.host) ?? 0) ?? [],
  );
  if (byExchange.length > 0) {
    const isFrom = (i: Instant) => (i.host === arrivedOn ? 0 : 1);
    return byExchange.length === 1
      ? byExchange
      : byExchange.sort((a, b) => a.uncertaintyS - b.uncertaintyS || isFrom(a) - isFrom(b));
  }
  const delays = [...boot.leastDelayUs].sort(([a], [b]) =>
    a === arrivedOn ? -1 : b === arrivedOn ? 1 : 0,
  );
  return delays.map(([host, delayUs]) => ({
    at: sessionUs(at + delayUs + (anchorsUs.get(host) ?? 0)),
    host,
    uncertaintyS: ROUGH_S,
    leastTripS: Number.POSITIVE_INFINITY,
    isProvisional: true,
    isRough: true,
  }));
}
