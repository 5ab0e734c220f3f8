// Values of explored settings and the set-ups that have them: each value that is ridden is a set-up of
// its own, a copy of the present one. Used by the summary, the operator's commands, imports and screens.
import type { ExploredSetting } from "./explored.ts";
import type { Setup, SetupId } from "./session.ts";
import { unitOfValue } from "./setup-values.ts";

/** Of a step: how far a figure may be off a step by rounding. */
const OFF_STEP = 1e-6;
const LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";

/** True inside the user's limits. */
export function isInLimits({ low, high, step }: ExploredSetting, value: number): boolean {
  return value >= low - OFF_STEP * step && value <= high + OFF_STEP * step;
}

/** True inside the user's limits and on a step. */
export function isAllowed(setting: ExploredSetting, value: number): boolean {
  const at = (value - setting.low) / setting.step;
  return isInLimits(setting, value) && Math.abs(at - Math.round(at)) <= OFF_STEP;
}

/** `from 1.3 to 1.9 in steps of 0.05` */
export function limitWords({ low, high, step }: ExploredSetting): string {
  return `from ${String(low)} to ${String(high)} in steps of ${String(step)}`;
}

/** As many decimals as tell the steps apart. */
export function decimalsOf({ low, step }: ExploredSetting): number {
  const isShort = (digits: number): boolean =>
    [low, step].every((value) => Math.abs(Number(value.toFixed(digits)) - value) < OFF_STEP * step);
  return [0, 1, 2, 3, 4, 5].find(isShort) ?? 6;
}

/** `1.60 bar`, `1.60 bar, 8 clicks`: how a set-up that was tried is called. */
export function valuesName(
  settings: readonly ExploredSetting[],
  values: readonly number[],
): string {
  return settings
    .map((setting, i) => {
      const unit = unitOfValue(setting.key);
      const text = (values[i] ?? 0).toFixed(decimalsOf(setting));
      return unit === null ? text : `${text} ${unit}`;
    })
    .join(", ");
}

/** A setting as people say it: `rear pressure` for `rear_pressure_bar`. */
export function settingName({ key }: Pick<ExploredSetting, "key">): string {
  const unit = unitOfValue(key)?.replaceAll("/", "_per_").toLowerCase();
  const isLong = unit !== undefined && key.toLowerCase().endsWith(`_${unit}`);
  const short = isLong ? key.slice(0, -unit.length - 1) : key;
  return short.replaceAll("_", " ");
}

/** Values by key, rounded as they are written: `{ rear_pressure_bar: 1.6 }`. */
export function valuesByKey(
  settings: readonly ExploredSetting[],
  values: readonly number[],
): Readonly<Record<string, number>> {
  return Object.fromEntries(
    settings.map((setting, i) => [
      setting.key,
      Number((values[i] ?? 0).toFixed(decimalsOf(setting))),
    ]),
  );
}

/** Values as a table names them, `1.60` or `1.60/8`; null if that is no number for each setting. */
export function valuesOfText(
  settings: readonly ExploredSetting[],
  text: string,
): readonly number[] | null {
  const parts = text.split("/").map((part) => part.trim());
  const areNumbers = parts.every((part) => /^-?\d+(\.\d+)?$/.test(part));
  return areNumbers && parts.length === settings.length ? parts.map(Number) : null;
}

/** A set-up's values of the settings; null if its sheet lacks one or has text there. */
export function valuesOf(
  setup: Setup,
  settings: readonly ExploredSetting[],
): readonly number[] | null {
  const values = settings.flatMap(({ key }) => {
    const value = setup.values[key];
    return typeof value === "number" && Number.isFinite(value) ? [value] : [];
  });
  return values.length === settings.length ? values : null;
}

/**
 * The set-up that has these values, or the one to make: like the present one, with the next free id.
 *
 * @param values - one for each setting
 * @returns undefined in a session without set-ups
 */
export function setupOfValues(
  setups: readonly Setup[],
  settings: readonly ExploredSetting[],
  values: readonly number[],
): { readonly setup: Setup; readonly isNew: boolean } | undefined {
  const known = setups.find((setup) => hasValues(setup, settings, values));
  if (known !== undefined) return { setup: known, isNew: false };
  const present = setups.find((setup) => setup.baseline) ?? setups[0];
  if (present === undefined) return undefined;
  const setup = {
    ...present,
    id: freeId(setups),
    name: valuesName(settings, values),
    baseline: false,
    values: { ...present.values, ...valuesByKey(settings, values) },
  };
  return { setup, isNew: true };
}

function hasValues(
  setup: Setup,
  settings: readonly ExploredSetting[],
  values: readonly number[],
): boolean {
  const own = valuesOf(setup, settings);
  return settings.every(
    ({ step }, i) => Math.abs((own?.[i] ?? Number.NaN) - (values[i] ?? 0)) < OFF_STEP * step,
  );
}

/** The first letter that no set-up has; past Z with a number. */
function freeId(setups: readonly Setup[]): SetupId {
  const taken = new Set(setups.map((setup) => setup.id));
  for (let round = 1; ; round += 1) {
    for (const letter of LETTERS) {
      const id = round === 1 ? letter : `${letter}${String(round)}`;
      if (!taken.has(id)) return id;
    }
  }
}
