// The one line that says why these values are next; called by explore.ts.
import type { Exploration } from "../domain/exploration.ts";
import { valuesName } from "../domain/explored-values.ts";
import { item } from "../stats/entry.ts";
import type { Day, StagedValues } from "./stages.ts";

/**
 * @param next - null when the planned runs are ridden
 */
export function reasonFor(
  day: Day,
  { runs, settings }: Pick<Exploration, "runs" | "settings">,
  next: StagedValues | null,
): string {
  if (next === null) return `the ${String(runs)} planned runs are ridden`;
  const { key } = item(day.scales, next.varied ?? 0).setting;
  const subject = day.way === "one" || next.varied === null ? "" : `${key}, `;
  if (next.place !== null) {
    return `${subject}${next.phase}, run ${String(next.place)} of ${String(next.of)}: low, middle, high and back`;
  }
  const found = next.varied === null ? undefined : item(settings, next.varied);
  if (found === undefined || found.best === null) return `${subject}no curve yet: once more`;
  return `${subject}closing in on the fitted best, ${valuesName([found.setting], [found.best])}`;
}
