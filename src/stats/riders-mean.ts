// What set-ups do to riders like these: the mean of the riders' own differences, at the end of a
// day; called by together.ts.
import { mean, sampleStandardDeviation } from "simple-statistics";
import { studentQuantile } from "./student-t.ts";

/** Information may differ by this much between riders before the weights matter. */
const WEIGHTS_MATTER = 3;
/** Riders whose differences scatter by less than this share of their own errors agree by rounding. */
const NO_SCATTER = 1e-6;

/** One rider's difference from the rider's own fit. */
export interface RiderDifference {
  /** Candidate minus baseline, s. */
  readonly differenceS: number;
  /** Squared standard error, s^2, above 0. */
  readonly varianceS2: number;
  readonly z2: number;
}

export interface RidersMean {
  readonly meanS: number;
  readonly bandS: readonly [number, number];
}

/**
 * Mean difference of riders like these, with its band: plain t on the riders' differences, or
 * random effects by REML with the modified Hartung-Knapp error where the riders know very unequal
 * amounts (largest information over three times the smallest), and where they agree to the last
 * digit (times by hand, to the tenth): plain t would then be sure of everything.
 *
 * chosen: by simulation; plain t keeps its coverage because a rider's own variance on 5 to 9
 * degrees of freedom is too noisy for weights.
 *
 * @param riders - three or more
 * @param level - two-sided, above 0 and below 1
 * @throws {RangeError} with fewer than three riders
 */
export function ridersMean(riders: readonly RiderDifference[], level: number): RidersMean {
  if (riders.length < 3) throw new RangeError("ridersMean requires at least three riders");
  const information = riders.map((r) => r.z2);
  const isUnequal = Math.max(...information) > WEIGHTS_MATTER * Math.min(...information);
  const plain = plainMean(riders);
  const leastErrorS = Math.sqrt(Math.min(...riders.map((r) => r.varianceS2)));
  const isAgreed = plain.errorS <= NO_SCATTER * leastErrorS;
  const { centreS, errorS } = isUnequal || isAgreed ? modifiedHartungKnapp(riders) : plain;
  const half = studentQuantile(level / 2, riders.length - 1) * errorS;
  return { meanS: centreS, bandS: [centreS - half, centreS + half] };
}

/** The plain mean of the riders' differences with its standard error, s. */
export function plainMean(riders: readonly Pick<RiderDifference, "differenceS">[]): {
  readonly centreS: number;
  readonly errorS: number;
} {
  const differences = riders.map((r) => r.differenceS);
  return {
    centreS: mean(differences),
    errorS: sampleStandardDeviation(differences) / Math.sqrt(differences.length),
  };
}

/**
 * Random-effects mean with the modified Hartung-Knapp error: never smaller than the plain one.
 *
 * @returns also the variance between riders, s^2, and the Hartung-Knapp ratio q before it is raised
 * @see Hartung & Knapp (2001), Statistics in Medicine 20; Knapp & Hartung (2003), same 22; Rover,
 *   Knapp & Friede (2015), BMC Medical Research Methodology 15 (from memory)
 */
export function modifiedHartungKnapp(
  riders: readonly Pick<RiderDifference, "differenceS" | "varianceS2">[],
): {
  readonly centreS: number;
  readonly errorS: number;
  readonly betweenS2: number;
  readonly q: number;
} {
  const betweenS2 = remlVariance(riders);
  const { centreS, weight, squares } = weighted(riders, betweenS2);
  const q = squares / (riders.length - 1);
  return { centreS, errorS: Math.sqrt(Math.max(1, q) / weight), betweenS2, q };
}

interface Weighted {
  readonly centreS: number;
  /** Sum of the weights. */
  readonly weight: number;
  /** Sum of w (y - centre)^2. */
  readonly squares: number;
  /** REML log-likelihood up to a constant. */
  readonly logLikelihood: number;
  /** Its slope in the variance between riders, 1/s^2. */
  readonly slope: number;
}

function weighted(
  riders: readonly Pick<RiderDifference, "differenceS" | "varianceS2">[],
  betweenS2: number,
): Weighted {
  let weight = 0;
  let sum = 0;
  let logs = 0;
  let squaredWeights = 0;
  for (const { differenceS, varianceS2 } of riders) {
    const w = 1 / (varianceS2 + betweenS2);
    weight += w;
    sum += w * differenceS;
    logs += Math.log(varianceS2 + betweenS2);
    squaredWeights += w * w;
  }
  const centreS = sum / weight;
  const squares = riders.reduce(
    (s, r) => s + (r.differenceS - centreS) ** 2 / (r.varianceS2 + betweenS2),
    0,
  );
  const pull = riders.reduce(
    (s, r) => s + ((r.differenceS - centreS) / (r.varianceS2 + betweenS2)) ** 2,
    0,
  );
  const logLikelihood = -0.5 * (logs + Math.log(weight) + squares);
  return {
    centreS,
    weight,
    squares,
    logLikelihood,
    slope: 0.5 * (squaredWeights / weight + pull - weight),
  };
}

/**
 * Variance between riders that maximises the restricted likelihood, s^2; 0 or more.
 *
 * A grid over the whole range finds the highest hill (there may be two), halving where the slope
 * turns its top: the height is too flat there to find more than half of the digits.
 *
 * @see Viechtbauer (2005), J. Educational and Behavioral Statistics 30 (from memory)
 */
function remlVariance(
  riders: readonly Pick<RiderDifference, "differenceS" | "varianceS2">[],
): number {
  const height = (betweenS2: number): number => weighted(riders, betweenS2).logLikelihood;
  const { centreS } = plainMean(riders);
  // Beyond the largest squared departure the likelihood only falls.
  const top = Math.max(...riders.map((r) => (r.differenceS - centreS) ** 2)) * riders.length;
  if (!(top > 0)) return 0;
  const steps = 400;
  const at = (i: number): number => top * (Math.max(0, Math.min(steps, i)) / steps) ** 3;
  let best = 0;
  for (let i = 1; i <= steps; i += 1) if (height(at(i)) > height(at(best))) best = i;
  let low = at(best - 1);
  let high = at(best + 1);
  for (let i = 0; i < 80; i += 1) {
    const middle = (low + high) / 2;
    if (weighted(riders, middle).slope > 0) low = middle;
    else high = middle;
  }
  const peak = (low + high) / 2;
  return height(0) >= height(peak) ? 0 : peak;
}
