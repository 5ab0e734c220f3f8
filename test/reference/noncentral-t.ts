// The noncentral t distribution and the power of a single t test at a fixed number of runs, worked
// out apart from the program; a plan that is read after every run is held between such figures.
import { studentQuantile } from "../../src/stats/student-t.ts";
import { normalTail } from "./normal.ts";

/**
 * P(T > t) with the given noncentrality.
 *
 * The chance given the spread that was found, averaged over that spread: its square times df is
 * chi-square. Simpson's rule over ten standard deviations either side.
 *
 * @see Johnson, Kotz & Balakrishnan, Continuous Univariate Distributions 2, 31.2 (from memory)
 */
export function noncentralTail(t: number, df: number, shift: number): number {
  const width = 10 / Math.sqrt(2 * df);
  const low = Math.max(0, 1 - width);
  const step = (1 + width - low) / STEPS;
  let sum = 0;
  let whole = 0;
  for (let i = 0; i <= STEPS; i += 1) {
    const s = low + i * step;
    const simpson = i === 0 || i === STEPS ? 1 : i % 2 === 1 ? 4 : 2;
    const weight = s > 0 ? simpson * Math.exp((df - 1) * Math.log(s) - (df * (s * s - 1)) / 2) : 0;
    whole += weight;
    sum += weight * normalTail(t * s - shift);
  }
  return sum / whole;
}

const STEPS = 600;

/** A single t test: what it is told before the runs. */
export interface FixedTest {
  readonly df: number;
  /** True difference over its standard error. */
  readonly shift: number;
  readonly level: number;
  readonly sides: 1 | 2;
}

/** Chance that the test finds the difference; both tails of a two-sided test count. */
export function fixedPower({ df, shift, level, sides }: FixedTest): number {
  const critical = studentQuantile(level / sides, df);
  const other = sides === 2 ? noncentralTail(critical, df, -shift) : 0;
  return noncentralTail(critical, df, shift) + other;
}

/** Smallest shift that is found with the given chance, by bisection. */
export function shiftFor(power: number, test: Omit<FixedTest, "shift">): number {
  let low = 0;
  let high = 10;
  for (let i = 0; i < 45; i += 1) {
    const shift = (low + high) / 2;
    if (fixedPower({ ...test, shift }) < power) low = shift;
    else high = shift;
  }
  return (low + high) / 2;
}
