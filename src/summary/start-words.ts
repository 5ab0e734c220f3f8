// How a run is started, in words, and a warning before the day where nobody said; called by plan,
// comparison and the remarks on entry speed.
import type { Gate, Settings } from "../domain/session.ts";

/** `start: rolling from the second tree`, or that it was not told; as the sheet has it: make it safe. */
export function startWords({ start }: Pick<Settings, "start">): string {
  return `start: ${start ?? "not told, standing or rolling from where"}`;
}

/**
 * What a plan should say where a beam will time the start and the sheet does not say how a run is
 * started.
 *
 * @returns null where it is told, or the start is timed by hand
 */
export function startWarning(
  { start }: Pick<Settings, "start">,
  gates: readonly Gate[],
): string | null {
  if (start !== null || gates[0]?.box == null) return null;
  return 'the sheet does not say how a run is started: agree on one way and write it down (start = "standing", or "rolling from" a mark): 0.5 m/s at the start gate is worth 0.1 to 0.4 s';
}
