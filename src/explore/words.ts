// What the runs say of the settings so far, in sentences; called by explore.ts. Only keys and numbers
// go in, so that no typed text reaches a screen here.
import type { Exploration, SettingFound } from "../domain/exploration.ts";
import type { ExploredSetting } from "../domain/explored.ts";
import { decimalsOf, valuesName } from "../domain/explored-values.ts";
import { type CurveFit, gainT } from "./curve-fit.ts";
import { type Day, OPENING_RUNS, runsForCurve } from "./stages.ts";

type Known = Pick<
  Exploration,
  "runs" | "plannedRuns" | "settings" | "gainS" | "gainErrorS" | "isKept"
>;

/** Sentences without a full stop: of each setting, of the gain, and what could not be seen. */
export function wordsOf(day: Day, known: Known, fit: CurveFit | null): readonly string[] {
  const unseen =
    day.way === "in-turn"
      ? ["interaction not seen: the settings are tried one after the other"]
      : [];
  if (fit === null) return [tooEarly(day, known), ...unseen];
  if (fit.spreadS === 0) {
    const bests = known.settings.flatMap(({ setting, best }) =>
      best === null ? [] : [valueWithUnit(setting, best)],
    );
    return [
      `best about ${bests.join(", ")}, but the runs lie on the curve without any scatter: too few, or times from elsewhere, to say how sure that is`,
      ...unseen,
    ];
  }
  const settings = known.settings.flatMap((found) => settingWords(known, found));
  return [...settings, ...gainWords(known, fit), ...unseen];
}

function tooEarly(day: Day, { runs, plannedRuns }: Known): string {
  if (plannedRuns !== null && runs >= plannedRuns) {
    return `these ${countOf(runs)} cannot tell a curve: plan at least ${String(OPENING_RUNS)}, at the values suggested`;
  }
  const missing = Math.max(1, runsForCurve(day) - runs);
  return `too early for a curve: ${String(missing)} more ${missing === 1 ? "run" : "runs"} at the values suggested`;
}

function settingWords(known: Known, found: SettingFound): readonly string[] {
  const { setting, present, best } = found;
  const isOneOfTwo = known.settings.length > 1;
  const subject = isOneOfTwo ? `${setting.key}: ` : "";
  if (best === null) return [`${subject}not known yet`];
  if (matters(found)) return [`${subject}${bestWords(found, known.runs)}`, ...limitWords(found)];
  // With two settings the other one may be worth changing, and is then checked with this one as found.
  const advice = known.isKept ? `; keep ${valueText(setting, present)}` : "";
  return [`no sign that ${setting.key} matters here${advice}`];
}

/** False while every allowed value is as good as the best. */
function matters({ curve }: SettingFound): boolean {
  return curve.some((point) => !point.isAsGood);
}

function bestWords({ setting, best, curve }: SettingFound, runs: number): string {
  const value = best ?? setting.low;
  const isAtLimit = value === curve[0]?.value || value === curve.at(-1)?.value;
  const place = isAtLimit ? "at or beyond your limit" : "about";
  const head = `best ${place} ${valueWithUnit(setting, value)}`;
  const stretches = asGoodStretches(curve);
  const [only] = stretches;
  if (stretches.length === 1 && only?.[0] === only?.[1]) {
    return `${head}; no other value is as good by these ${countOf(runs)}`;
  }
  const texts = stretches.map(([from, to]) =>
    from === to
      ? valueText(setting, from)
      : `from ${valueText(setting, from)} to ${valueText(setting, to)}`,
  );
  const subject = texts[0]?.startsWith("from") === true ? "anything " : "";
  return `${head}; ${subject}${texts.join(" or ")} is as good as these ${countOf(runs)} can tell`;
}

/** Unbroken stretches of values as good as the best; two where the curve bends the other way. */
function asGoodStretches(curve: SettingFound["curve"]): readonly (readonly [number, number])[] {
  const stretches: [number, number][] = [];
  curve.forEach(({ value, isAsGood }, i) => {
    if (!isAsGood) return;
    const last = stretches.at(-1);
    if (last !== undefined && curve[i - 1]?.isAsGood === true) last[1] = value;
    else stretches.push([value, value]);
  });
  return stretches;
}

/** Where the best is inside, but values as good reach a limit. */
function limitWords({ setting, best, asGood, atLow, atHigh }: SettingFound): readonly string[] {
  if (asGood === null) return [];
  const limits = [...(atLow ? [asGood[0]] : []), ...(atHigh ? [asGood[1]] : [])];
  return limits
    .filter((limit) => limit !== best)
    .map((limit) => `the best may lie at or beyond your limit ${valueWithUnit(setting, limit)}`);
}

/** Nothing where no setting matters and "keep" has been said. */
function gainWords(known: Known, fit: CurveFit): readonly string[] {
  const { settings, gainS, gainErrorS } = known;
  if (gainS === null || gainErrorS === null) return [];
  if (known.isKept && !settings.some(matters)) return [];
  const text = settings.length > 1 ? valueWithUnit : valueText;
  const present = settings.map((each) => text(each.setting, each.present)).join(", ");
  const best = settings.map((each) => text(each.setting, each.best ?? each.present)).join(", ");
  if (best === present) return [`keep ${present}: the best of the fitted curve`];
  const half = gainT(fit) * gainErrorS;
  const digits = half < 0.1 ? 2 : 1;
  const gain = (-gainS).toFixed(digits);
  const error = `+-${half.toFixed(digits)}`;
  if (known.isKept) return [`keep ${present}: the gain of ${gain} s is not clear (${error} s)`];
  return [
    `${best} gains ${gain} ${error} s on ${present}: ride it back to back against ${present} before believing it`,
  ];
}

function countOf(runs: number): string {
  return runs === 1 ? "1 run" : `${String(runs)} runs`;
}

function valueText(setting: ExploredSetting, value: number): string {
  return value.toFixed(decimalsOf(setting));
}

function valueWithUnit(setting: ExploredSetting, value: number): string {
  return valuesName([setting], [value]);
}
