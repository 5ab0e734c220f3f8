// Which runs a person has mended; called for the count that the board and the report show.
import type { RunStatus } from "../domain/run.ts";
import type { Session } from "./session.ts";

/** Statuses that only a person gives a timed run. */
const BY_MARK: readonly RunStatus[] = ["void", "dnf"];

/**
 * Runs that are what they are because somebody decided it: struck out, counted or DNF by a mark, joined,
 * parted, assigned, promoted, corrected, or with a passing keyed at a gate that has a box. Warm-ups are
 * planned, imported rows and gates timed by hand are no mending. Of what was taken back nothing is left.
 *
 * @returns run ids, in order of start
 */
export function touchedByHand(
  session: Pick<Session, "runs" | "passings" | "gates">,
): readonly string[] {
  const keyed = new Set(
    session.passings.flatMap(({ source, state, gate, runId }) => {
      const isMending = gate !== null && session.gates[gate]?.box != null;
      return source === "hand" && state === "matched" && isMending ? [runId] : [];
    }),
  );
  return session.runs
    .filter(
      (run) =>
        run.flags.some((flag) => flag.endsWith("by hand")) ||
        run.voidSectors.length > 0 ||
        run.isMarkedOk ||
        (run.timedBy !== "import" && BY_MARK.includes(run.status)) ||
        keyed.has(run.runId),
    )
    .map((run) => run.runId);
}
