// The call-up list of this moment: who starts next, on which bike with which parts, and not before
// when; made from the summary and drawn by the console and the board.
import {
  type CallUp,
  type CallUpCosts,
  callUpList,
  type Demand,
  type RiderState,
} from "../advisor/call-up.ts";
import { firstDifference, riderBikes } from "../advisor/call-up-bikes.ts";
import { asItCame, swapFrom } from "../advisor/call-up-day.ts";
import { bikeKey, soonestFitting, withFitting, type Yard } from "../advisor/call-up-yard.ts";
import { gearFor } from "../advisor/gear-fit.ts";
import { runOnCourse } from "../advisor/next-rider.ts";
import { adviseRider } from "../advisor/next-setup.ts";
import { startGapS, type UsualRun, usualRunS } from "../advisor/start-gap.ts";
import { lapMinutes } from "../advisor/time-left.ts";
import type { ComparisonInput } from "../domain/comparison.ts";
import type { Run } from "../domain/run.ts";
import type { RiderId, SetupId } from "../domain/session.ts";
import { type SessionUs, sessionUs } from "../domain/time.ts";
import { setupsToRide } from "../stats/rider-plan.ts";
import { comparisonInput } from "./comparison-input.ts";
import type { Summary } from "./summary.ts";

/** A row of the list, in order of start. */
export interface LiveCallUp
  extends Pick<
    CallUp,
    "rider" | "setup" | "bike" | "parts" | "isReady" | "why" | "behind" | "isCalled"
  > {
  /** Null: it cannot be ridden with the bikes and parts there are. */
  readonly notBefore: SessionUs | null;
}

/** chosen: a rider who is late on course is taken to be a minute away, so that no bike out there is here. */
const LATE_MIN = 1;
const US_A_MINUTE = 60e6;

/**
 * The next start of every rider who is not on course, on the set-up that is suggested; nobody for
 * whom the day is over.
 *
 * What is not recorded is worked out: which bike a rider is on (see `riderBikes`), which parts (those
 * that the set-up on it needs, taken by whoever touched a bike last), when a bike is back up (the lap
 * less the run after the finish, or at the swap that was logged). While the course is held nobody is
 * ready.
 *
 * @param now - also for a bike on course that should be back
 * @returns empty in a closed session
 */
export function callUpAhead(summary: Summary, now: SessionUs): readonly LiveCallUp[] {
  if (summary.isClosed) return [];
  const { input, demands } = aheadOf(summary);
  const hill = hillAt(summary, input, now);
  const rows = callUpList(
    demands,
    {
      riders: hill.riders,
      bikes: hill.bikes,
      yard: hill.yard,
      called: summary.nextStarter,
      started: summary.onCourse.map(({ run, since }) => ({
        rider: run.rider,
        at: minutesFrom(now, since),
      })),
    },
    summary.gear,
    hill.costs,
  );
  const isHeld = summary.heldBecause !== null;
  return rows.map(
    (row): LiveCallUp => ({
      rider: row.rider,
      setup: row.setup,
      bike: row.bike,
      parts: row.parts,
      isReady: row.isReady && !isHeld,
      notBefore:
        row.notBefore === null ? null : sessionUs(Math.round(now + row.notBefore * US_A_MINUTE)),
      why: isHeld ? "the course is held" : row.why,
      behind: row.behind,
      isCalled: row.isCalled,
    }),
  );
}

interface Ahead {
  readonly input: ComparisonInput;
  readonly demands: readonly Demand[];
}

const known = new WeakMap<Summary, Ahead>();

/** What everybody is to ride next; it changes with the summary only, while the list goes with the clock. */
function aheadOf(summary: Summary): Ahead {
  const before = known.get(summary);
  if (before !== undefined) return before;
  const input = comparisonInput(summary);
  const demands = input.riders.flatMap((rider): readonly Demand[] => {
    if (runOnCourse(runsOf(input, rider.id)) !== undefined) return [];
    const { setup } = adviseRider(input, rider).next;
    return setup === null ? [] : [{ rider: rider.id, rides: [{ setup, isCounted: true }] }];
  });
  const ahead = { input, demands };
  known.set(summary, ahead);
  return ahead;
}

/** Riders, bikes and parts at an instant; minutes from it. */
interface Hill {
  readonly riders: readonly RiderState[];
  readonly bikes: ReturnType<typeof riderBikes>;
  readonly yard: Yard;
  readonly costs: CallUpCosts;
}

function hillAt(summary: Summary, input: ComparisonInput, now: SessionUs): Hill {
  const usual = new Map(input.riders.map(({ id }) => [id, usualOf(summary, input, id)] as const));
  const laps = new Map(input.riders.map(({ id }) => [id, lapMinutes(input, id)] as const));
  const runMinutes = (rider: RiderId): number => {
    const runS = usual.get(rider)?.runS;
    return runS == null ? (laps.get(rider) ?? 0) : runS / 60;
  };
  const costs: CallUpCosts = {
    runMinutes,
    lapMinutes: (rider) => Math.max(laps.get(rider) ?? 0, runMinutes(rider)),
    gapS: (ahead, behind) => startGapS(usual.get(ahead) ?? UNKNOWN, usual.get(behind) ?? UNKNOWN),
    swapMinutes: (from, to) => swapFrom(input, from, to),
    restMinutes: summary.hours.restMinutes ?? 0,
  };
  const riders = input.riders.map(({ id }) => riderAt(summary, input, id, costs, now));
  const bikes = riderBikes(
    summary.gear,
    input.riders.map((rider) => ({ id: rider.id, setups: setupsToRide(input, rider) })),
  );
  return { riders, bikes, costs, yard: yardAt(summary, riders, bikes, now) };
}

const UNKNOWN: UsualRun = { runS: null, spreadS: null };

function usualOf(summary: Summary, input: ComparisonInput, rider: RiderId): UsualRun {
  const { expectedRunS, spreadS } = summary.settings;
  const counted = runsOf(input, rider).flatMap((run) =>
    run.status === "ok" && run.timeS !== null ? [run.timeS] : [],
  );
  const own = summary.comparison.riders.find((each) => each.rider === rider);
  return { runS: usualRunS(counted, expectedRunS), spreadS: own?.spread_s ?? spreadS };
}

function riderAt(
  summary: Summary,
  input: ComparisonInput,
  rider: RiderId,
  costs: CallUpCosts,
  now: SessionUs,
): RiderState {
  const last = runsOf(input, rider).at(-1);
  const finishedAt = finishOf(last, costs.runMinutes(rider), now);
  const upMinutes = costs.lapMinutes(rider) - costs.runMinutes(rider);
  const own = summary.comparison.riders.find((each) => each.rider === rider);
  return {
    rider,
    counted: own?.counted_runs ?? 0,
    finishedAt,
    backAt: finishedAt + upMinutes,
    restedAt: finishedAt + costs.restMinutes,
  };
}

/** Minutes from now; a run that goes on is taken to last as usual, one without times never was. */
function finishOf(run: Run | undefined, runMinutes: number, now: SessionUs): number {
  if (run === undefined) return Number.NEGATIVE_INFINITY;
  if (run.finishedAt !== null) return minutesFrom(now, run.finishedAt);
  if (run.startedAt === null) return Number.NEGATIVE_INFINITY;
  const expected = minutesFrom(now, run.startedAt) + runMinutes;
  return run.status === "on-course" ? Math.max(expected, LATE_MIN) : expected;
}

/** Every bike as whoever touched it last left it, and the parts where they went with that. */
function yardAt(
  summary: Summary,
  riders: readonly RiderState[],
  bikes: Hill["bikes"],
  now: SessionUs,
): Yard {
  const { gear, setups } = summary;
  const fresh = { freeAt: 0, by: null };
  const all = gear.bikes.length > 0 ? gear.bikes : riders.map(() => null);
  const mounted = asItCame({ setups, gear });
  const empty: Yard = {
    bikes: new Map(
      all.map((bike, i) => [bikeKey(bike, riders[i]?.rider ?? ""), { ...fresh, mounted }]),
    ),
    parts: new Map(gear.parts.map(({ id }) => [id, { ...fresh, on: null }])),
    swaps: [],
  };
  return riders
    .flatMap((rider) => touchOf(summary, rider, now) ?? [])
    .toSorted((a, b) => firstDifference([a.at], [b.at]))
    .reduce((yard, { rider, setup, freeAt }) => {
      const bike = bikes.get(rider) ?? null;
      const { bikes: fits } = gearFor(gear, rider, setup);
      const own = fits.filter((fit) => bikeKey(fit.bike, rider) === bikeKey(bike, rider));
      const fitting = soonestFitting(yard, own.length > 0 ? own : fits, rider, setup, NO_RULES);
      return fitting === undefined ? yard : withFitting(yard, fitting, { freeAt, by: rider });
    }, empty);
}

/** Nothing is waited for: it was done. */
const NO_RULES = { swapMinutes: () => 0, mechanics: null };

interface Touch {
  readonly rider: RiderId;
  readonly setup: SetupId;
  /** Minutes from now: the last start or the swap after it. */
  readonly at: number;
  readonly freeAt: number;
}

/** Undefined: nobody has done anything to that bike. */
function touchOf(
  summary: Summary,
  { rider, backAt }: RiderState,
  now: SessionUs,
): Touch | undefined {
  const run = runsOf(summary, rider).at(-1);
  const mounted = summary.mounted[rider];
  const swap = summary.swaps.findLast((each) => each.rider === rider);
  const setup = run?.status === "on-course" ? run.setup : mounted;
  if (setup === undefined) return undefined;
  const last = run?.finishedAt ?? run?.startedAt ?? null;
  // A bike that was swapped since its run is back up, whatever its lap usually takes.
  if (swap !== undefined && run?.status !== "on-course" && (last === null || swap.at >= last)) {
    return { rider, setup, at: minutesFrom(now, swap.at), freeAt: 0 };
  }
  if (run === undefined) return undefined;
  const at = run.startedAt === null ? Number.NEGATIVE_INFINITY : minutesFrom(now, run.startedAt);
  return { rider, setup, at, freeAt: Math.max(0, backAt) };
}

/** A rider's runs of the newest day. */
function runsOf({ runs }: Pick<Summary, "runs">, rider: RiderId): readonly Run[] {
  const day = runs.at(-1)?.day ?? 0;
  return runs.filter((run) => run.rider === rider && run.day === day);
}

function minutesFrom(now: SessionUs, at: SessionUs): number {
  return (at - now) / US_A_MINUTE;
}
