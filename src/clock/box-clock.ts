// A box's instants on the host's clock, with their uncertainty; called by the fold for each passing.
import type { Result } from "../domain/errors.ts";
import type { ClockExchange } from "../domain/exchange.ts";
import { type BoxUs, type HostUs, hostUs } from "../domain/time.ts";
import { offsetUs, roundTripUs } from "./offset.ts";
import { type LineAtZero, type Point, weightedLineAtZero } from "./weighted-line.ts";

const S = 1_000_000;
/**
 * chosen: by simulation of a radio of 2 ms + exp(6 ms), 3 % 200 ms later, 40 ppm, 0.5 ppm/degC:
 * shorter windows scatter more, longer ones feel the sun; test/clock/coverage.test.ts would notice.
 */
const WINDOW_US = 600 * S;
/** chosen: for times in an outage; a longer base carries a line further. Same simulation. */
const HOLD_OVER_WINDOW_US = 1200 * S;
/** chosen: a dozen missed exchanges are an outage. */
const OUTAGE_US = 60 * S;
/** chosen: s0, error of an exchange without excess delay. Same simulation: smaller makes u too small. */
const BEST_US = 1000;
/** chosen: stamps of whole microseconds, and the crystal's own wander from exchange to exchange. */
const FLOOR_US = 20;
/**
 * chosen: standard uncertainty of how the rate changes within the window, per second: what a straight
 * line cannot follow, 0.09 ms at the window's end and half of that in its middle. Same simulation: in
 * sun and shade u would be too small without it, and on an even day too large were it 0.1 ms
 * throughout; test/clock/coverage.test.ts holds both sides.
 */
const BEND_PER_S = 3e-9;
/** chosen: change of a crystal's rate in the sun, per second; covers 10 min without exchanges. */
const RATE_CHANGE_PER_S = 1e-8;
/** Rate of a box not yet known: ceramic resonator, +-0.5 %, rectangular (from memory). */
const RATE_U = 0.005 / Math.sqrt(3);
/** chosen: below this many exchanges their agreement may be luck; same simulation. */
const FEW = 20;

/** The exchanges with one boot of one box, as columns in order of box time, all equally long. */
export interface BoxClock {
  /** Middle of the exchange on the box's clock, us. */
  readonly boxMidUs: readonly number[];
  /** Middle of the exchange on the host's clock, us. */
  readonly hostMidUs: readonly number[];
  readonly offsetsUs: readonly number[];
  readonly roundTripsUs: readonly number[];
}

/** One instant of a box on the host's clock. */
export interface BoxClockReading {
  readonly hostUs: HostUs;
  /** Standard uncertainty, us; path asymmetry and the gate's geometry are not in it. */
  readonly uncertaintyUs: number;
  /** Rate of the box's clock against the host's, parts in a million, positive when it runs fast. */
  readonly clockDriftPpm: number;
  /** Before the first or after the last exchange: the line was carried there. */
  readonly isExtrapolated: boolean;
  /** Over a minute from the nearest exchange: an outage, with the uncertainty that it brings. */
  readonly isHeldOver: boolean;
  /** Exchanges do not yet reach half a window beyond it: a better time may still come. */
  readonly isProvisional: boolean;
  /** Exchanges that it rests on. */
  readonly exchanges: number;
  /** Shortest round trip among them, us: unequal ways shift the offset by at most half of it. */
  readonly leastRoundTripUs: number;
}

/**
 * Prepares the exchanges with ONE boot of one box, within ONE run of the host's clock; worth keeping
 * for all its passings.
 *
 * @param exchanges - in any order; those over ports with different paths should not be mixed
 */
export function boxClock(exchanges: readonly ClockExchange[]): BoxClock {
  const middle = (e: ClockExchange) => (e.t2Us + e.t3Us) / 2;
  const sorted = [...exchanges].sort((a, b) => middle(a) - middle(b));
  return {
    boxMidUs: sorted.map(middle),
    hostMidUs: sorted.map((e) => (e.t1Us + e.t4Us) / 2),
    offsetsUs: sorted.map(offsetUs),
    // A round trip of nothing cannot be: it would only claim too much.
    roundTripsUs: sorted.map((e) => Math.max(roundTripUs(e), 1)),
  };
}

/** Index of the first value that is not below the bound. */
function lowerBound(sorted: readonly number[], bound: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const mid = (low + high) >> 1;
    if ((sorted[mid] ?? bound) < bound) low = mid + 1;
    else high = mid;
  }
  return low;
}

interface Window {
  /** Exchanges from this index up to, not including, that one; at least one. */
  readonly from: number;
  readonly to: number;
  /** Distance to the last exchange before and the first after, us; infinite if there is none. */
  readonly beforeUs: number;
  readonly afterUs: number;
}

/**
 * Centred on the event as far as there are exchanges; as long at the ends, where it is one-sided.
 *
 * @param firstUs - box time of the first exchange
 * @param lastUs - box time of the last exchange
 */
function windowAround({ boxMidUs }: BoxClock, at: number, firstUs: number, lastUs: number): Window {
  const next = lowerBound(boxMidUs, at);
  const beforeUs = at - (boxMidUs[next - 1] ?? Number.NEGATIVE_INFINITY);
  const afterUs = (boxMidUs[next] ?? Number.POSITIVE_INFINITY) - at;
  const nearestUs = Math.min(beforeUs, afterUs);
  const isOutage = nearestUs > OUTAGE_US;
  const isInside = Number.isFinite(beforeUs + afterUs);
  // Bridged from both sides, the usual length of exchanges and the gap between them.
  const bridgeUs = WINDOW_US + (isOutage ? 2 * nearestUs : 0);
  const width = isOutage && !isInside ? HOLD_OVER_WINDOW_US : bridgeUs;
  let high = Math.min(at + width / 2, lastUs);
  const low = Math.max(Math.max(high, firstUs) - width, firstUs);
  high = Math.max(high, Math.min(low + width, lastUs));
  return { from: lowerBound(boxMidUs, low), to: lowerBound(boxMidUs, high + 1), beforeUs, afterUs };
}

function leastOf(values: readonly number[]): number {
  return values.reduce((least, value) => Math.min(least, value), Number.POSITIVE_INFINITY);
}

function pointsOf(clock: BoxClock, { from, to }: Window, hostGuessUs: number): readonly Point[] {
  const trips = clock.roundTripsUs.slice(from, to);
  const best = leastOf(trips);
  return trips.flatMap((trip, i) => {
    const t = clock.hostMidUs[from + i];
    const y = clock.offsetsUs[from + i];
    if (t === undefined || y === undefined) return [];
    const sigma = BEST_US + (trip - best) / 2;
    return [{ x: t - hostGuessUs, y, sigma, bound: trip / 2 / Math.sqrt(3) }];
  });
}

/** The single exchange that tells most about x = 0, with nothing known of the clock's rate. */
function bestSingle(points: readonly Point[]): LineAtZero {
  let found = { value: 0, slope: 0, scatterU: 0, boundU: Number.POSITIVE_INFINITY, bend: 0 };
  for (const { x, y, bound } of points) {
    const u = Math.hypot(bound, x * RATE_U);
    if (u < found.boundU) found = { value: y, slope: 0, scatterU: 0, boundU: u, bend: 0 };
  }
  return found;
}

/** The line, or with few exchanges whichever of the line and the best single one claims less error. */
function lineOf(points: readonly Point[]): { readonly line: LineAtZero; readonly u: number } {
  const line = weightedLineAtZero(points);
  if (points.length >= FEW) return { line, u: line.scatterU };
  const single = bestSingle(points);
  const lineU = Math.max(line.scatterU, line.boundU);
  const hasRate = new Set(points.map(({ x }) => x)).size > 1;
  return hasRate && lineU < single.boundU ? { line, u: lineU } : { line: single, u: single.boundU };
}

/**
 * What the rate's change adds: what the line misses of a bend, or in an outage half the change times
 * the gap squared (between two exchanges, times both distances) if that is more. Carried past the last
 * exchange the gap alone counts.
 *
 * @param bend - error for each unit of bend, us^2
 */
function rateChangeU({ beforeUs, afterUs }: Window, bend: number): number {
  const gapUs = Math.min(beforeUs, afterUs);
  const bendU = (BEND_PER_S / S) * Math.abs(bend);
  if (gapUs <= OUTAGE_US) return bendU;
  const perUs2 = RATE_CHANGE_PER_S / 2 / S;
  const isInside = Number.isFinite(beforeUs + afterUs);
  return isInside ? Math.max(bendU, perUs2 * beforeUs * afterUs) : perUs2 * gapUs ** 2;
}

/**
 * Where an instant of a box's clock lies on the host's clock: a weighted straight line through the
 * offsets around it, exchanges with much delay trusted little. With fewer than twenty exchanges the
 * uncertainty rests on the round trips and not on how well they agree.
 *
 * @param at - instant on the box's clock, same boot as the exchanges
 * @returns `no-exchange` if there is none: the time of that box cannot be told
 * @see RFC 5905, section 10 (trusting the exchange with the least delay, here made gradual)
 * @see JCGM 100:2008, 4.3.7 (a bound as a rectangular distribution), 5.1.2 (adding variances)
 */
export function hostTimeOf(clock: BoxClock, at: BoxUs): Result<BoxClockReading, "no-exchange"> {
  const firstUs = clock.boxMidUs[0];
  const lastUs = clock.boxMidUs.at(-1);
  const lastOffsetUs = clock.offsetsUs.at(-1);
  if (firstUs === undefined || lastUs === undefined || lastOffsetUs === undefined) {
    return { ok: false, error: "no-exchange" };
  }
  const window = windowAround(clock, at, firstUs, lastUs);
  const guessUs = at - lastOffsetUs;
  const { line, u } = lineOf(pointsOf(clock, window, guessUs));
  // The offset is a line in host time, which is what is sought: three steps of fixed point.
  let host = guessUs;
  for (let i = 0; i < 3; i += 1) host = at - (line.value + line.slope * (host - guessUs));
  return {
    ok: true,
    value: {
      hostUs: hostUs(host),
      uncertaintyUs: Math.hypot(u, rateChangeU(window, line.bend), FLOOR_US),
      clockDriftPpm: line.slope * 1e6,
      isExtrapolated: !Number.isFinite(window.beforeUs + window.afterUs),
      isHeldOver: Math.min(window.beforeUs, window.afterUs) > OUTAGE_US,
      isProvisional: lastUs < at + WINDOW_US / 2,
      exchanges: window.to - window.from,
      leastRoundTripUs: leastOf(clock.roundTripsUs.slice(window.from, window.to)),
    },
  };
}
