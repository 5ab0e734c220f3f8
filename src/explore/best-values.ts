// The quickest of the allowed values by a fitted curve, and what is gained by it; called by
// explore.ts and the rules of what to ride next.
import { item } from "../stats/entry.ts";
import {
  type CurveFit,
  type FittedDifference,
  fittedDifference,
  fittedTime,
  gainT,
} from "./curve-fit.ts";
import { coded, type Scale } from "./scale.ts";

/**
 * The allowed values with the smallest fitted time, by looking at them all, so that a curve that
 * bends the other way and a best at a limit need no rule of their own. A setting that is not known
 * keeps its present value. Of equals the present one, then the lowest.
 */
export function bestValues(fit: CurveFit): readonly number[] {
  const [, second] = fit.scales;
  const first = choices(fit, 0).map((value) => [value]);
  const tried =
    second === undefined
      ? first
      : first.flatMap(([value = 0]) => rowChoices(fit, second, value).map((each) => [value, each]));
  const present = fit.scales.map((scale) => scale.present);
  const isReached = fit.scales.every((scale, i) => choices(fit, i).includes(scale.present));
  const [head = present, ...others] = isReached ? [present, ...tried] : tried;
  let best = head;
  let least = fittedTime(fit, best);
  for (const values of others) {
    const timeS = fittedTime(fit, values);
    if (timeS < least) {
      best = values;
      least = timeS;
    }
  }
  return best;
}

/** What the best values gain. */
export interface Gain extends FittedDifference {
  /** The gain is not clear, see `gainT`: the present values are kept. */
  readonly isKept: boolean;
}

/** The fitted time of values against that of the present ones. */
export function gainOf(fit: CurveFit, values: readonly number[]): Gain {
  const present = fit.scales.map((scale) => scale.present);
  const gain = fittedDifference(fit, values, present);
  const isClear = fit.spreadS > 0 && -gain.timeS > gainT(fit) * gain.errorS;
  return { ...gain, isKept: !isClear };
}

function choices(fit: CurveFit, i: number): readonly number[] {
  const { allowed, present } = item(fit.scales, i);
  return item(fit.isKnown, i) ? allowed : [present];
}

/**
 * The allowed values of the second setting that can be quickest beside a value of the first: a
 * parabola is lowest at an end or at a step beside its turning point.
 */
function rowChoices(fit: CurveFit, second: Scale, first: number): readonly number[] {
  const all = choices(fit, 1);
  const [, , linear = 0, quadratic = 0, product = 0] = fit.coefficients;
  const u = coded(item(fit.scales, 0), first);
  const turn = -(linear + product * u) / (2 * quadratic);
  const from = coded(second, item(all, 0));
  const last = all.length - 1;
  const at = ((turn - from) / (coded(second, item(all, last)) - from)) * last;
  const beside = [Math.floor(at), Math.ceil(at)].filter((index) => index > 0 && index < last);
  return [...new Set([0, ...beside, last])].map((index) => item(all, index));
}
