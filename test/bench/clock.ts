// Error of a run time by boxes' clocks over a radio, live and two-sided, against stamping on arrival.
import {
  coverageOf,
  DAY,
  type Errors,
  outages,
  SUN,
  simulatedDays,
} from "../clock/simulated-day.ts";
import { type Figure, figure } from "./figure.ts";
import { quantile } from "./quantile.ts";

/** chosen: 2550 runs, so that the 95th percentile is good to some 2 %. */
const DAYS = 30;
const OUTAGES = 400;

function p95(errors: readonly number[]): number {
  return quantile(errors, 0.95);
}

function covered(name: string, errors: Errors): Figure {
  const yardstick = { what: "two standard uncertainties promise", value: 95 };
  return figure(name, 100 * coverageOf(errors), "%", yardstick);
}

export function clockFigures(): Promise<readonly Figure[]> {
  const figures = [
    ["day", DAY],
    ["sun", SUN],
  ] as const;
  return Promise.resolve(
    figures.flatMap(([name, air]) => {
      const { live, twoSided, onArrival } = simulatedDays(DAYS, 5000, air);
      const arrival = { what: "stamping on arrival", value: p95(onArrival) };
      const out = outages(OUTAGES, 7000, air);
      return [
        figure(`clock.error_ms_95 live ${name}`, p95(live.ms), "ms", arrival),
        figure(`clock.error_ms_95 two-sided ${name}`, p95(twoSided.ms), "ms", arrival),
        covered(`clock.coverage live ${name}`, live),
        covered(`clock.coverage two-sided ${name}`, twoSided),
        figure(`clock.error_ms_95 10 min out ${name}`, p95(out.live.ms), "ms", arrival),
        covered(`clock.coverage 10 min out ${name}`, out.live),
        figure(`clock.error_ms_95 link back ${name}`, p95(out.mended.ms), "ms", arrival),
        covered(`clock.coverage link back ${name}`, out.mended),
      ];
    }),
  );
}
