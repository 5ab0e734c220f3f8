// Run times of simulated days over a radio, read through the real fit, live and two-sided, and by
// stamping on arrival; called by the clock's tests and by `npm run bench`.
import { boxClock, hostTimeOf } from "../../src/clock/box-clock.ts";
import type { ClockExchange } from "../../src/domain/exchange.ts";
import { seededRandom } from "../../src/domain/seeded.ts";
import type { BoxUs } from "../../src/domain/time.ts";
import { cableDelayUs, crystal, exchangesAt, radioDelayUs, schedule, stamp } from "./radio.ts";

const DAY_S = 6 * 3600;
const RUN_US = 150e6;
const BETWEEN_RUNS_US = 240e6;
/** The fit looks no further than this around an instant. */
const BACK_US = 900e6;
const ON_US = 700e6;

/** How the air changes: swing in degC over a period in s. */
export interface Air {
  readonly swingC: number;
  readonly periodS: number;
}

/** 10 degC in 24 h. */
export const DAY: Air = { swingC: 10, periodS: 86_400 };
/** In and out of the sun: 10 degC every 40 min. */
export const SUN: Air = { swingC: 10, periodS: 2400 };

/** The fit's reading of an instant; the tests have an exchange always. */
function read(exchanges: readonly ClockExchange[], at: BoxUs) {
  const reading = hostTimeOf(boxClock(exchanges), at);
  if (!reading.ok) throw new Error(reading.error);
  return reading.value;
}

/** Errors of run times, ms, and how many lie within two stated standard uncertainties. */
export interface Errors {
  readonly ms: number[];
  /** Stated standard uncertainties of the clocks, ms. */
  readonly statedMs: number[];
  inside: number;
}

function nothing(): Errors {
  return { ms: [], statedMs: [], inside: 0 };
}

export interface DayErrors {
  /** At the finish, with what had been exchanged by then. */
  readonly live: Errors;
  /** Later, with exchanges all around. */
  readonly twoSided: Errors;
  /** Without clocks: the lines' arrival at the laptop. */
  readonly onArrival: readonly number[];
}

/**
 * Days of six hours, a run of 150 s every four minutes. Start box by radio (2 ms + exp(6 ms), 3 %
 * about 200 ms later), finish box by cable; crystals +40 and -12 ppm, 0.5 ppm/degC; exchanges each
 * second for a minute, then every 5 s.
 */
export function simulatedDays(days: number, seed: number, { swingC, periodS }: Air): DayErrors {
  const live = nothing();
  const twoSided = nothing();
  const onArrival: number[] = [];
  for (let day = 0; day < days; day += 1) {
    const random = seededRandom(seed + day);
    const start = crystal(40, 1e9, swingC, periodS, random() * 6.28);
    const finish = crystal(-12, 4e8, swingC, periodS, random() * 6.28);
    const far = exchangesAt(start, schedule(DAY_S), () => radioDelayUs(random));
    const near = exchangesAt(finish, schedule(DAY_S), () => cableDelayUs(random));
    const last = (DAY_S - 600) * 1e6;
    for (let t = 700e6 + random() * 60e6; t < last; t += BETWEEN_RUNS_US) {
      const until = (us: number) => (e: ClockExchange) => e.t4Us < us && e.t4Us > t - BACK_US;
      for (const [errors, known] of [
        [live, until(t + RUN_US)],
        [twoSided, until(t + RUN_US + ON_US)],
      ] as const) {
        const a = read(far.filter(known), stamp(start, t));
        const b = read(near.filter(known), stamp(finish, t + RUN_US));
        const u = Math.hypot(a.uncertaintyUs, b.uncertaintyUs);
        add(errors, b.hostUs - a.hostUs - RUN_US, u);
      }
      onArrival.push(Math.abs(cableDelayUs(random) - radioDelayUs(random)) / 1000);
    }
  }
  return { live, twoSided, onArrival };
}

/** Of one instant of the start box, at an outage's end and in its middle once the link is back. */
export interface OutageErrors {
  readonly live: Errors;
  readonly mended: Errors;
}

/** Outages of 10 min after 25 min of exchanges over the radio, each with a crystal of its own phase. */
export function outages(count: number, seed: number, { swingC, periodS }: Air): OutageErrors {
  const live = nothing();
  const mended = nothing();
  for (let i = 0; i < count; i += 1) {
    const random = seededRandom(seed + i);
    const clock = crystal(40, 1e9, swingC, periodS, random() * 6.28);
    const before = schedule(1500);
    const after = Array.from({ length: 100 }, (_, n) => 2100e6 + n * 5e6);
    const all = exchangesAt(clock, [...before, ...after], () => radioDelayUs(random));
    note(live, read(all.slice(0, before.length), stamp(clock, 2095e6)), 2095e6);
    note(mended, read(all, stamp(clock, 1800e6)), 1800e6);
  }
  return { live, mended };
}

function note(errors: Errors, reading: ReturnType<typeof read>, truthUs: number): void {
  add(errors, reading.hostUs - truthUs, reading.uncertaintyUs);
}

function add(errors: Errors, offUs: number, uUs: number): void {
  errors.ms.push(Math.abs(offUs) / 1000);
  errors.statedMs.push(uUs / 1000);
  if (Math.abs(offUs) <= 2 * uUs) errors.inside += 1;
}

/** Share of runs within two stated uncertainties, 0 to 1. */
export function coverageOf({ inside, ms }: Errors): number {
  return inside / ms.length;
}
