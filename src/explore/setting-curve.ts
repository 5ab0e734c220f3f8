// The curve of one setting with the others at their best: bands, and the values as good as the best;
// called by explore.ts.
import type { CurvePoint, SettingFound } from "../domain/exploration.ts";
import { item } from "../stats/entry.ts";
import { asGoodT, type CurveFit, fittedDifference, twoSidedT } from "./curve-fit.ts";
import type { Scale } from "./scale.ts";

/** A setting before a curve exists. */
export function unknownSetting({ setting, present }: Scale): SettingFound {
  const nothing = { best: null, asGood: null, atLow: false, atHigh: false, curve: [] };
  return { setting, present, ...nothing };
}

/**
 * What a fit says of one setting. Without scatter there is a best value, but nothing to judge it by:
 * no band, no set of values as good.
 *
 * A value is as good as the best while its fitted time is longer by no more than the one-sided 95 %
 * point of t times the standard error of that difference. Held by simulation: the set has the true
 * best value in 94 to 99 % of days where the truth is a parabola.
 *
 * @param best - allowed values of all settings
 */
export function foundSetting(fit: CurveFit, i: number, best: readonly number[]): SettingFound {
  const scale = item(fit.scales, i);
  const unknown = unknownSetting(scale);
  if (!item(fit.isKnown, i)) return unknown;
  const found = { ...unknown, best: item(best, i) };
  if (fit.spreadS === 0) return found;
  const present = fit.scales.map((each) => each.present);
  const [goodT, bandT] = [asGoodT(fit), twoSidedT(fit)];
  const curve = scale.allowed.map((value): CurvePoint => {
    const values = best.map((own, j) => (j === i ? value : own));
    const gain = fittedDifference(fit, values, present);
    const half = bandT * gain.errorS;
    const behind = fittedDifference(fit, values, best);
    return {
      value,
      gainS: gain.timeS,
      bandS: [gain.timeS - half, gain.timeS + half],
      isAsGood: behind.timeS <= goodT * behind.errorS,
    };
  });
  const good = curve.filter((point) => point.isAsGood).map((point) => point.value);
  // The best is one of them.
  const lowest = item(good, 0);
  const highest = item(good, good.length - 1);
  return {
    ...found,
    asGood: [lowest, highest],
    atLow: lowest === scale.allowed[0],
    atHigh: highest === scale.allowed.at(-1),
    curve,
  };
}
