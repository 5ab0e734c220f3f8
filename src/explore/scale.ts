// The values that a setting may take, and its coding to -1..1; called by everything in explore.
import type { ExploredSetting } from "../domain/explored.ts";
import { unitOfValue } from "../domain/setup-values.ts";
import { item } from "../stats/entry.ts";

/** Of a step: how far a figure may be off a step by rounding. */
const OFF_STEP = 1e-6;

/** A setting between its limits. */
export interface Scale {
  readonly setting: ExploredSetting;
  /** Every value on a step from `low`, low to high; whole numbers for clicks. */
  readonly allowed: readonly number[];
  /** On a step where it is one but for rounding. */
  readonly present: number;
  /** The allowed value nearest to the present one: what is ridden while another setting is tried. */
  readonly held: number;
}

/**
 * @param present - value on the bike before anything was tried
 * @throws {RangeError} if `high` is not above `low` or the step not above 0
 */
export function scaleOf(setting: ExploredSetting, present: number): Scale {
  const { low, high, step } = setting;
  if (!(high > low && step > 0)) {
    throw new RangeError("a scale requires high above low and a step above 0");
  }
  const isClicks = unitOfValue(setting.key) === "clicks";
  const first = isClicks ? Math.ceil(low) : low;
  const by = isClicks ? Math.max(1, Math.round(step)) : step;
  const steps = Math.floor((high - first) / by + OFF_STEP);
  const allowed = Array.from({ length: steps + 1 }, (_, i) =>
    Math.min(high, Number((first + i * by).toPrecision(12))),
  );
  const off = (value: number): number => Math.abs(value - present);
  const held = allowed.reduce((best, value) => (off(value) < off(best) ? value : best));
  return { setting, allowed, present: off(held) < OFF_STEP * by ? held : present, held };
}

/** u = (value - middle) / (half the range): -1 at `low`, 1 at `high`. */
export function coded({ setting: { low, high } }: Scale, value: number): number {
  return (2 * value - low - high) / (high - low);
}

/** The allowed value nearest to `low` and a share of the range, inside the limits. */
export function valueAt({ allowed }: Scale, share: number): number {
  const last = allowed.length - 1;
  return item(allowed, Math.min(last, Math.max(0, Math.round(share * last))));
}

/**
 * The allowed value a share of the range above another one (below: share negative), at least one
 * step away, inside the limits: at a limit it is the value itself.
 */
export function valueBeside({ allowed }: Scale, value: number, share: number): number {
  const last = allowed.length - 1;
  const at = allowed.indexOf(value);
  const steps = Math.sign(share) * Math.max(1, Math.round(Math.abs(share) * last));
  return item(allowed, Math.min(last, Math.max(0, at + steps)));
}

/** Whether two lists of values, one for each setting, are the same but for rounding. */
export function areSame(
  scales: readonly Scale[],
  a: readonly number[],
  b: readonly number[],
): boolean {
  return scales.every(
    ({ setting }, i) => Math.abs(item(a, i) - item(b, i)) < OFF_STEP * setting.step,
  );
}
