// The one line that says why these values are next; called by explore.ts.
import type { Exploration } from "../domain/exploration.ts";
import { item } from "../stats/entry.ts";
import type { Day, StagedValues } from "./stages.ts";
import { valueWithUnit } from "./value-text.ts";

/**
 * @param next - null when the planned runs are ridden
 */
export function reasonFor(
  day: Day,
  { runs, settings }: Pick<Exploration, "runs" | "settings">,
  next: StagedValues | null,
): string {
  if (next === null) return `the ${String(runs)} planned runs are ridden`;
  if (next.phase === "grid") {
    return `place ${String(next.place)} of ${String(next.of)} of the grid: low, middle and high of both, out and back`;
  }
  const subject = day.way === "one" ? "" : `${subjectOf(day, next)}: `;
  if (next.place !== null) {
    return `${subject}place ${String(next.place)} of ${String(next.of)} of the opening: near both limits and in the middle, out and back`;
  }
  const found = next.varied === null ? undefined : item(settings, next.varied);
  if (found === undefined || found.best === null) return `${subject}no curve yet: once more`;
  return `${subject}closing in on the fitted best, ${valueWithUnit(found.setting, found.best)}`;
}

/** `fork_rebound_clicks with rear_pressure_bar at 1.60 bar`. */
function subjectOf({ scales }: Day, { varied, values }: StagedValues): string {
  const named = scales.map(({ setting }, i) => ({
    key: setting.key,
    text: valueWithUnit(setting, item(values, i)),
  }));
  const held = named.filter((_, i) => i !== varied).map(({ key, text }) => `${key} at ${text}`);
  const own = named.filter((_, i) => i === varied).map(({ key }) => key);
  return own.length === 0 ? "both" : `${own.join()} with ${held.join(", ")}`;
}
