// Rides an invented day of six riders without transponders: what the beams see, and the truth.
import { seededRandom } from "../../src/domain/seeded.ts";
import { sessionUs } from "../../src/domain/time.ts";
import type { Detection } from "../../src/match/detection.ts";
import { at } from "./some-detections.ts";

/** One ridden run. */
export interface Ridden {
  readonly rider: string;
  readonly lap: number;
  /** Passings at the start, splits and the finish. */
  readonly passings: readonly Detection[];
}

export interface Hill {
  readonly seed: number;
  readonly laps: number;
  /** Between two starters, s. */
  readonly gapS: number;
  /** Share of runs that somebody overtakes because of a fall or a stop. */
  readonly overtaken: number;
  readonly hasSplits: boolean;
}

export const RIDERS = ["R1", "R2", "R3", "R4", "R5", "R6"];
/** Ends of the sectors, as a share of the run. */
const ENDS = [0.3, 0.7, 1];

/**
 * Levels of the riders differ by 4 % of 130 s, runs by 1.5 %; one in ten has a mistake of 6 s on average;
 * the share that is overtaken loses the gap and 20 s more on average, somewhere on the way.
 */
export function ridden({ seed, laps, gapS, overtaken, hasSplits }: Hill): readonly Ridden[] {
  const random = seededRandom(seed);
  const normal = () => Math.sqrt(-2 * Math.log(1 - random())) * Math.cos(2 * Math.PI * random());
  const exponential = (mean: number) => -mean * Math.log(1 - random());
  const levels = RIDERS.map(() => 130 * (1 + 0.04 * normal()));
  const runs: Ridden[] = [];
  let from = 100;
  for (let lap = 0; lap < laps; lap += 1) {
    let last = from;
    RIDERS.forEach((rider, i) => {
      const start = from + i * gapS;
      const smooth = (levels[i] ?? 130) * (1 + 0.015 * normal() - 0.001 * lap);
      const mistake = random() < 0.1 ? exponential(6) : 0;
      const lost = random() < overtaken ? gapS + exponential(20) : mistake;
      const lostIn = Math.floor(random() * ENDS.length);
      const instants = ENDS.map((end, s) => start + smooth * end + (s >= lostIn ? lost : 0));
      const finish = instants.at(-1) ?? start;
      const seen = hasSplits ? instants : [finish];
      const passings = [start, ...seen].map((t, gate) => at(gate, t));
      runs.push({ rider, lap, passings });
      last = Math.max(last, finish);
    });
    from = last + 300;
  }
  return runs;
}

/** Says of finishes whose they are. */
export function decided(runs: readonly Ridden[], finishes: ReadonlySet<string>): readonly Ridden[] {
  return runs.map((run) => ({
    ...run,
    passings: run.passings.map((p) =>
      finishes.has(p.passingId) ? { ...p, assigned: { rider: run.rider, at: sessionUs(0) } } : p,
    ),
  }));
}
