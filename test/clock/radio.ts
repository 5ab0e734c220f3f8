// A box with a drifting crystal behind a radio, simulated; called by the clock's tests.
import type { ClockExchange } from "../../src/domain/exchange.ts";
import { type BoxUs, boxUs, hostUs } from "../../src/domain/time.ts";

export interface SimulatedClock {
  /** Box clock at a host time, us, exact. */
  readonly boxAt: (hostTimeUs: number) => number;
}

/**
 * Crystal with a skew and 0.5 ppm/degC; the air by a sine of the given swing and period.
 *
 * @param startUs - what the box's clock shows at host time 0
 */
export function crystal(
  skewPpm: number,
  startUs: number,
  swingC: number,
  periodS: number,
  phase: number,
  ppmPerC = 0.5,
): SimulatedClock {
  const w = (2 * Math.PI) / (periodS * 1e6);
  // Integral of ppmPerC * swing/2 * sin(w t + phase).
  const lag = (t: number) =>
    ((ppmPerC * swingC) / 2 / w) * (Math.cos(phase) - Math.cos(w * t + phase));
  return { boxAt: (t) => startUs + t + 1e-6 * (skewPpm * t + lag(t)) };
}

/** One way over the radio, us: 2 ms and an exponential 6 ms; 3 % of lines about 200 ms later. */
export function radioDelayUs(random: () => number): number {
  const late = random() < 0.03 ? 200_000 * (0.5 + random()) : 0;
  return 2000 - 6000 * Math.log(1 - random()) + late;
}

/** One way over a cable, us. */
export function cableDelayUs(random: () => number): number {
  return 300 - 400 * Math.log(1 - random());
}

/** Exchanges at the given host times. */
export function exchangesAt(
  clock: SimulatedClock,
  times: readonly number[],
  delayUs: () => number,
): readonly ClockExchange[] {
  return times.map((t1) => {
    const arrived = t1 + delayUs();
    const left = arrived + 4000;
    return {
      box: "S1",
      boot: 1,
      port: "p",
      t1Us: hostUs(Math.round(t1)),
      t2Us: boxUs(Math.round(clock.boxAt(arrived))),
      t3Us: boxUs(Math.round(clock.boxAt(left))),
      t4Us: hostUs(Math.round(left + delayUs())),
    };
  });
}

/** Each second for a minute, then every five. */
export function schedule(untilS: number): readonly number[] {
  const times: number[] = [];
  for (let t = 0; t < untilS; t += t < 60 ? 1 : 5) times.push(t * 1e6);
  return times;
}

/** The box's stamp of something at a host time. */
export function stamp(clock: SimulatedClock, hostTimeUs: number): BoxUs {
  return boxUs(Math.round(clock.boxAt(hostTimeUs)));
}
