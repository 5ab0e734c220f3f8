// An instant of a box on common session time; called for each passing of a box. Times that no later
// exchange can change are kept.
import { type BoxClock, boxClock, hostTimeOf } from "../clock/box-clock.ts";
import type { ClockExchange } from "../domain/exchange.ts";
import { type BoxUs, type SessionUs, sessionUs } from "../domain/time.ts";
import type { BootEvidence, ExchangeGroup } from "./evidence.ts";
import { itemsOf } from "./growing.ts";

/** An instant on common session time, and how well it is known. */
export interface Instant {
  readonly at: SessionUs;
  /** Run of the laptop's clock that it rests on; null for a time typed by a person. */
  readonly host: string | null;
  /** Standard uncertainty of the clocks, s. */
  readonly uncertaintyS: number;
  /** A better time may still come. */
  readonly isProvisional: boolean;
  /** Placed by when its line arrived: its clock cannot be told. */
  readonly isRough: boolean;
}

/**
 * chosen: scatter of a line's arrival over a radio (simulated: 2 ms + exp(6 ms), 3 % 200 ms late);
 * such times only put passings in order, the runs made of them do not count.
 */
const ROUGH_S = 0.05;

/**
 * chosen: longer than any window of the fit that a passing within a minute of an exchange can have.
 * Test: "folded in any cuts gives the session of folding it at once".
 */
const SETTLED_US = 700_000_000;

interface Kept {
  readonly reading: Instant;
  /** Exchanges that it rests on: an older version of the list may not have them. */
  readonly needs: number;
}

/** Columns that grow with the exchanges; no one else holds them. */
type Columns = { readonly [K in keyof BoxClock]: number[] };

interface GroupCache {
  readonly columns: Columns;
  isSorted: boolean;
  readonly settled: Map<number, Kept>;
}

const groups = new WeakMap<readonly ClockExchange[], GroupCache>();
/** Clocks of versions that have been outgrown, and of exchanges out of order. */
const outgrown = new WeakMap<ExchangeGroup, BoxClock>();

/** Exchanges added at a time. */
const CHUNK = 1000;

function cacheOf({ exchanges: { shared, length } }: ExchangeGroup): GroupCache {
  const columns = { boxMidUs: [], hostMidUs: [], offsetsUs: [], roundTripsUs: [] };
  const cache: GroupCache = groups.get(shared) ?? { columns, isSorted: true, settled: new Map() };
  groups.set(shared, cache);
  addUpTo(cache, shared, length);
  return cache;
}

function addUpTo(cache: GroupCache, shared: readonly ClockExchange[], length: number): void {
  const { boxMidUs, hostMidUs, offsetsUs, roundTripsUs } = cache.columns;
  for (let from = boxMidUs.length; from < length; from += CHUNK) {
    const more = boxClock(shared.slice(from, Math.min(from + CHUNK, length)));
    const before = boxMidUs.at(-1) ?? Number.NEGATIVE_INFINITY;
    cache.isSorted &&= before <= (more.boxMidUs[0] ?? before);
    boxMidUs.push(...more.boxMidUs);
    hostMidUs.push(...more.hostMidUs);
    offsetsUs.push(...more.offsetsUs);
    roundTripsUs.push(...more.roundTripsUs);
  }
}

function clockOf(group: ExchangeGroup, { columns, isSorted }: GroupCache): BoxClock {
  if (isSorted && columns.boxMidUs.length === group.exchanges.length) return columns;
  const clock = outgrown.get(group) ?? boxClock(itemsOf(group.exchanges));
  outgrown.set(group, clock);
  return clock;
}

function byGroup(group: ExchangeGroup, at: BoxUs, anchorUs: number): Instant | null {
  const cache = cacheOf(group);
  const kept = cache.settled.get(at);
  if (kept !== undefined && kept.needs <= group.exchanges.length) return kept.reading;
  const read = hostTimeOf(clockOf(group, cache), at);
  if (!read.ok) return null;
  const { hostUs, uncertaintyUs, isProvisional, isHeldOver } = read.value;
  const reading: Instant = {
    at: sessionUs(Math.round(hostUs + anchorUs)),
    host: group.host,
    uncertaintyS: uncertaintyUs / 1e6,
    isProvisional,
    isRough: false,
  };
  const lastUs = group.exchanges.shared[group.exchanges.length - 1]?.t3Us ?? 0;
  if (!isProvisional && !isHeldOver && lastUs > at + SETTLED_US) {
    cache.settled.set(at, { reading, needs: group.exchanges.length });
  }
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
    isProvisional: true,
    isRough: true,
  }));
}
