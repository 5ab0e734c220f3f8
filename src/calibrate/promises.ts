// What was promised before run 1, worked out once for all days of a trial; called by rider-day.ts and
// judge-day.ts.
import type { ComparisonInput, PlannedEnd } from "../domain/comparison.ts";
import type { Rider, SetupId } from "../domain/session.ts";
import type { BandPlan } from "../stats/band-in-force.ts";
import { carryingRiders } from "../stats/carrying-riders.ts";
import { riderSubject } from "../stats/compare.ts";
import { blockOf } from "../stats/counted-runs.ts";
import { type Layout, layoutOf } from "../stats/design.ts";
import type { PlannedBands, Subject } from "../stats/replay.ts";
import { pairBandPlans } from "../stats/rider-fit.ts";
import { endRunOf, setupsOf } from "../stats/rider-plan.ts";
import { FEWEST_RIDERS, stackSubject } from "../stats/together.ts";
import type { DayShape } from "./trial.ts";

type BandsOfPair = (candidate: SetupId, baseline: SetupId) => BandPlan;

/** The promise to one rider, for an end of the plan. */
export interface RiderPromise {
  /** Without runs. */
  readonly subject: Subject;
  /** Of any two set-ups. */
  readonly bandsOfPair: BandsOfPair;
  /** Counted runs at the end; null without a plan. */
  readonly endRun: number | null;
}

/** The promises of a trial; nothing in them depends on the session's seed. */
export class Promises {
  readonly #before: ComparisonInput;
  readonly #ofRiders = new Map<string, RiderPromise>();
  readonly #ofAll = new Map<string, Subject>();

  /** @param before - the session before its first ride */
  constructor(before: ComparisonInput) {
    this.#before = before;
  }

  toRider(rider: Rider, end: PlannedEnd | null): RiderPromise {
    const key = `${rider.id} ${String(end?.endRun)}`;
    const known = this.#ofRiders.get(key);
    if (known !== undefined) return known;
    const input = { ...this.#before, plannedEnds: end === null ? [] : [end] };
    const promise = {
      subject: riderSubject(input, rider, []),
      bandsOfPair: remembered(pairBandPlans(input, rider)),
      endRun: endRunOf(input, rider),
    };
    this.#ofRiders.set(key, promise);
    return promise;
  }

  /** To all riders together, without runs; only the pairs that something may be claimed of. */
  toAll(plannedEnds: readonly PlannedEnd[]): Subject {
    const key = plannedEnds.map((end) => `${end.rider} ${String(end.endRun)}`).join();
    const known = this.#ofAll.get(key);
    if (known !== undefined) return known;
    const input = { ...this.#before, plannedEnds };
    const subject = stackSubject(input, []);
    const setups = setupsOf(input);
    const isClaimed = ({ candidate, baseline }: PlannedBands): boolean => {
      const riders = carryingRiders(input, setups, candidate, baseline);
      return riders === 0 || riders >= FEWEST_RIDERS;
    };
    const claimed = { ...subject, pairs: subject.pairs.filter(isClaimed) };
    this.#ofAll.set(key, claimed);
    return claimed;
  }
}

function remembered(bandsOfPair: BandsOfPair): BandsOfPair {
  const plans = new Map<string, BandPlan>();
  return (candidate, baseline) => {
    const key = `${candidate} ${baseline}`;
    const plan = plans.get(key) ?? bandsOfPair(candidate, baseline);
    plans.set(key, plan);
    return plan;
  };
}

/**
 * Columns for whatever a rider may ride on the days of a plan: every set-up on every day, and every
 * ground.
 *
 * @param groundOf - the ground that place k of a day is ridden on
 */
export function layoutOfDays(
  rider: Rider,
  { days, runsADay }: DayShape,
  of: Subject,
  groundOf: (k: number) => number,
): Layout {
  const rows = Array.from({ length: days }, (_, day) =>
    Array.from({ length: Math.max(runsADay, of.setups.length) }, (__, i) => ({
      block: blockOf(rider.id, day),
      setup: of.setups[i % of.setups.length] ?? "",
      k: i + 1,
      ground: groundOf(i + 1),
    })),
  ).flat();
  return layoutOf(rows, of.setups, of.drift);
}
