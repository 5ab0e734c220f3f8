// Speeds through the gates, from how long a bike broke each beam; called by `dayFacts`, by the report
// and by whatever lists a run's gates. A speed never corrects a time.
import { bikeLength } from "../domain/bike-length.ts";
import type { EntrySpeed } from "../domain/day-facts.ts";
import type { Passing } from "../domain/passing.ts";
import type { Run } from "../domain/run.ts";
import { baselineOf, type SetupId } from "../domain/session.ts";
import type { Session } from "../session/session.ts";

/** Speed at one gate. */
interface GateSpeed {
  /** 0 is the start. */
  readonly gate: number;
  readonly speedMS: number;
}

/** A run's speeds in riding order. */
export interface RunSpeeds {
  readonly runId: Run["runId"];
  readonly gates: readonly GateSpeed[];
}

type SpeedBasis = Pick<Session, "passings" | "runs" | "setups">;

/** chosen: a walking bike and nobody's bike; test/summary/gate-speeds.test.ts. */
const SLOWEST_MS = 0.7;
const FASTEST_MS = 30;
/** The beam tripped again so soon after: what was seen first was not the whole bike, us. */
const AGAIN_US = 3_000_000;

/**
 * First edge to last clearing at hub height is the length of the bike at its speed. The set-up that
 * the run counts for gives the length: a 584 rear wheel is 1.0 % shorter than a 622, which would look
 * like a quicker bike.
 *
 * @returns runs with a speed anywhere, in the order of the session's
 */
export function gateSpeeds({ passings, runs, setups }: SpeedBasis): readonly RunSpeeds[] {
  const lengths = bikeLengths(setups);
  const broken = new Map<string, Passing[]>();
  for (const passing of passings) {
    if (passing.runId === null || passing.source !== "beam" || passing.state !== "matched")
      continue;
    const own = broken.get(passing.runId);
    if (own === undefined) broken.set(passing.runId, [passing]);
    else own.push(passing);
  }
  const doubles = passings.filter((passing) => passing.state === "double");
  return runs.flatMap(({ runId, setup }): readonly RunSpeeds[] => {
    const lengthM = lengths.get(setup);
    if (lengthM === undefined) return [];
    const gates = (broken.get(runId) ?? [])
      .flatMap((passing) => speedAt(passing, lengthM, doubles))
      .toSorted((a, b) => a.gate - b.gate);
    return gates.length === 0 ? [] : [{ runId, gates }];
  });
}

/** The speeds at the start gate. */
export function entrySpeeds(speeds: readonly RunSpeeds[]): readonly EntrySpeed[] {
  return speeds.flatMap(({ runId, gates }) =>
    gates.filter(({ gate }) => gate === 0).map(({ speedMS }) => ({ runId, speedMS })),
  );
}

function bikeLengths(setups: Session["setups"]): ReadonlyMap<SetupId, number> {
  if (setups.length === 0) return new Map();
  const { values: baseline } = baselineOf(setups);
  return new Map(setups.map(({ id, values }) => [id, bikeLength(values, baseline).lengthM]));
}

function speedAt(
  { gate, at, box, blockedS }: Passing,
  lengthM: number,
  doubles: readonly Passing[],
): readonly GateSpeed[] {
  if (gate === null || blockedS === null || !(blockedS > 0)) return [];
  const isInParts = doubles.some(
    (again) => again.box === box && Math.abs(again.at - at) < AGAIN_US,
  );
  const speedMS = lengthM / blockedS;
  const isBikes = speedMS >= SLOWEST_MS && speedMS <= FASTEST_MS;
  return isBikes && !isInParts ? [{ gate, speedMS }] : [];
}
