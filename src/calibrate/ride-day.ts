// One simulated day: what was ridden and how long it took; called by ride-block.ts.
import type { ComparisonInput } from "../domain/comparison.ts";
import type { Run, RunStatus } from "../domain/run.ts";
import { type SetupId, swapMinutes } from "../domain/session.ts";
import type { Cell } from "./cell.ts";
import { driftTruth } from "./drift-truth.ts";
import type { NextRides } from "./next-ride.ts";
import type { Trial } from "./trial.ts";

/** Rides on a set-up over which getting used to it fades to a third. */
const GETTING_USED = 4;
/** A mistake costs from this many spreads ... */
const LEAST_MISTAKE = 3;
/** ... to so many more. */
const MISTAKE_RANGE = 5;
/** Share of the mistakes that the rider tells and the operator strikes out. */
const TOLD_MISTAKES = 0.8;

/** Random numbers of one day. */
export interface Chance {
  readonly uniform: () => number;
  readonly normal: () => number;
}

/** What had been spent when a counted run was in. */
interface Spent {
  readonly swaps: number;
  /** Laps and swaps; the swaps alone without a lap time. */
  readonly minutes: number;
}

export interface RiddenDay {
  readonly input: ComparisonInput;
  /** One entry a counted run. */
  readonly spent: readonly Spent[];
}

/** The session of a trial before its first ride. */
export function beforeFirstRide(trial: Trial, seed: number): ComparisonInput {
  const { settings, setups, swaps } = trial.sheet;
  return {
    settings: { ...settings, seed },
    riders: [trial.rider],
    setups,
    plannedSetups: setups.map((setup) => setup.id),
    swaps,
    // Only the whole run is judged, and it is the same with sectors and without.
    sectors: [],
    runs: [],
    plannedEnds: [],
    incidents: [],
    isClosed: false,
    mounted: {},
  };
}

/**
 * Rides a day to its end: so many counted runs, or no time left. Runs struck out are ridden again.
 *
 * @param before - the session before the first ride
 * @param sign - of the true difference: -1 candidate quicker, 1 slower
 */
export function rideDay(
  trial: Trial,
  cell: Cell,
  before: ComparisonInput,
  rides: NextRides,
  sign: -1 | 1,
  chance: Chance,
): RiddenDay {
  const lap = before.settings.lapMinutes ?? 0;
  const timeOf = runTimes(trial, cell, sign, chance);
  const runs: Run[] = [];
  const spent: Spent[] = [];
  let history = "";
  let mounted: SetupId | null = null;
  let minutes = 0;
  let swaps = 0;
  let k = 0;
  let input = before;
  // Ends: four rides in five at the least are counted in the long run, and a day has an end anyway.
  while (spent.length < trial.runs && runs.length < 10 * (trial.runs + 10)) {
    const ride = rides.after({ input, history, mounted, counted: spent.length, minutes });
    if (ride === null) break;
    const { setup, isPractice } = ride;
    if (!isPractice) k += 1;
    const { timeS, isTold } = timeOf(setup, isPractice ? null : k);
    const status: RunStatus = isPractice ? "warm-up" : isTold ? "void" : "ok";
    runs.push(runOf(runs.length, trial.rider.id, setup, isPractice ? null : k, status, timeS));
    if (mounted !== null && mounted !== setup) {
      swaps += 1;
      minutes += swapMinutes(before.swaps, mounted, setup);
    }
    minutes += lap;
    mounted = setup;
    history += ` ${setup}/${status}`;
    input = { ...before, runs, mounted: { [trial.rider.id]: setup } };
    if (status === "ok") spent.push({ swaps, minutes });
  }
  return { input, spent };
}

/** The time of each ride, in order, and whether it is struck out for a mistake. */
function runTimes(
  trial: Trial,
  cell: Cell,
  sign: -1 | 1,
  { uniform, normal }: Chance,
): (setup: SetupId, k: number | null) => { readonly timeS: number; readonly isTold: boolean } {
  const { candidate, rider, runs, runS, spreadS, sheet } = trial;
  const drift = driftTruth(cell.drift, runs, normal);
  const others = sheet.setups.length - 1;
  // The root mean square over the set-ups stays one spread, so that effects stay comparable.
  const spread = Math.sqrt((others + 1) / (others + cell.spreadRatio ** 2));
  const learnt = rider.newTo.length > 0 ? rider.newTo : [candidate];
  const ridden = new Map<SetupId, number>();
  return (setup, k) => {
    const j = (ridden.get(setup) ?? 0) + 1;
    ridden.set(setup, j);
    const isCandidate = setup === candidate;
    const effect = isCandidate ? sign * cell.effect : 0;
    const unused = learnt.includes(setup)
      ? cell.setupLearning * Math.exp(-(j - 1) / GETTING_USED)
      : 0;
    const scatter = (isCandidate ? cell.spreadRatio : 1) * spread * normal();
    const isMistake = cell.mistakes > 0 && uniform() < cell.mistakes;
    const mistake = isMistake ? LEAST_MISTAKE + MISTAKE_RANGE * uniform() : 0;
    const slower = (k === null ? 0 : drift(k)) + effect + unused + scatter + mistake;
    return { timeS: runS + spreadS * slower, isTold: isMistake && uniform() < TOLD_MISTAKES };
  };
}

function runOf(
  index: number,
  rider: string,
  setup: SetupId,
  k: number | null,
  status: RunStatus,
  timeS: number,
): Run {
  return {
    runId: String(index + 1),
    rider,
    setup,
    day: 0,
    k,
    status,
    startedAt: null,
    finishedAt: null,
    timeS,
    uncertaintyS: null,
    sectorS: [],
    voidSectors: [],
    lastGate: 1,
    reason: status === "void" ? "mistake" : null,
    isMarkedOk: false,
    timedBy: "import",
    provisional: false,
    flags: [],
    note: null,
  };
}
