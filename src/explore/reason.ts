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
  const { setting, best } = item(settings, next.varied ?? 0);
  const subject = day.way === "one" || next.varied === null ? "" : `${setting.key}, `;
  if (next.place !== null) {
    return `${subject}${next.phase}, run ${String(next.place)} of ${String(next.of)}: low, middle, high and back`;
  }
  if (best === null) return `${subject}no curve yet: once more`;
  return `${subject}closing in on the fitted best, ${valuesName([setting], [best])}`;
}
