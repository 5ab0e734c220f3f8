// A value of a setting as it is written; called by the sentences of explore.
import type { ExploredSetting } from "../domain/explored.ts";
import { unitOfValue } from "../domain/setup-values.ts";

/** Of a step: decimals that change a figure by less are left out. */
const OFF_STEP = 1e-6;
const MOST_DECIMALS = 6;

/** `1.60`, `8`: as many decimals as tell the steps apart. */
export function valueText({ low, step }: ExploredSetting, value: number): string {
  const isEnough = (digits: number): boolean =>
    [low, step].every((each) => Math.abs(Number(each.toFixed(digits)) - each) < OFF_STEP * step);
  let digits = 0;
  while (digits < MOST_DECIMALS && !isEnough(digits)) digits += 1;
  return value.toFixed(digits);
}

/** `1.60 bar`, `8 clicks`; the bare number for a key without a unit. */
export function valueWithUnit(setting: ExploredSetting, value: number): string {
  const unit = unitOfValue(setting.key);
  const text = valueText(setting, value);
  return unit === null ? text : `${text} ${unit}`;
}
