// What a planner should hear about the minutes of swaps, in plain words; called by plan-warnings.ts.
import { type SetupId, type SwapCost, swapMinutes } from "../domain/session.ts";
import type { PlanSheet } from "./plan-figures.ts";

/** Sentences of a kind; the rest is counted. */
const MOST_SAID = 3;

/** Swaps without minutes beside others that have some, and those that a detour would beat. */
export function swapWarnings({ setups, swaps }: PlanSheet): readonly string[] {
  const ids = setups.map((setup) => setup.id);
  const own = swaps.filter(({ from, to }) => ids.includes(from) && ids.includes(to));
  if (own.length === 0) return [];
  const pairs = ids.flatMap((a, i) => ids.slice(i + 1).map((b) => [a, b] as const));
  const unnamed = pairs.filter(([a, b]) => !isNamed(own, a, b));
  const shown = unnamed.slice(0, MOST_SAID).map(([a, b]) => `${a}-${b}`);
  const more = unnamed.length - shown.length;
  const others = more > 0 ? ` and ${String(more)} more` : "";
  const without =
    unnamed.length === 0
      ? []
      : [`no minutes are named for the swaps ${shown.join(", ")}${others}: taken as 0`];
  return [...without, ...detours(ids, own).slice(0, MOST_SAID)];
}

/** Ways through a third set-up that would be quicker than the direct swap: one of the minutes is wrong. */
function detours(ids: readonly SetupId[], swaps: readonly SwapCost[]): readonly string[] {
  return ids.flatMap((from) =>
    ids.flatMap((to) => {
      if (from === to || !isNamed(swaps, from, to)) return [];
      const direct = swapMinutes(swaps, from, to);
      const vias = ids
        .filter((id) => id !== from && id !== to)
        .filter((id) => isNamed(swaps, from, id) && isNamed(swaps, id, to))
        .map((id) => ({
          id,
          minutes: swapMinutes(swaps, from, id) + swapMinutes(swaps, id, to),
        }))
        .toSorted((a, b) => a.minutes - b.minutes);
      const [via] = vias;
      if (via === undefined || direct <= via.minutes) return [];
      return [
        `the swap from ${from} to ${to} takes ${amount(direct)} min, by way of ${via.id} only ${amount(via.minutes)}: check the minutes in [[swaps]]`,
      ];
    }),
  );
}

/** In either direction: the way back costs the same unless given. */
function isNamed(swaps: readonly SwapCost[], a: SetupId, b: SetupId): boolean {
  return swaps.some(({ from, to }) => (from === a && to === b) || (from === b && to === a));
}

function amount(minutes: number): string {
  return String(Math.round(minutes * 10) / 10);
}
