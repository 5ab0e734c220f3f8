// The rule for what to ride next after the opening: the set-up that narrows the deciding band most
// for the minutes that it costs; called by next-setup.ts and day-outlook.ts.
import type { SetupId } from "../domain/session.ts";
import type { DesignRow } from "../stats/design.ts";
import { studentQuantile } from "../stats/student-t.ts";
import { pairInformation, type RiddenDesign, withRun } from "./ridden-design.ts";

/**
 * Swapping has to be this much better per minute than staying. chosen: halves the swaps where they
 * are cheap at no cost in correct calls; test/advisor/planning-reference.test.ts holds the orders.
 */
const STAY_BONUS = 1.15;
/**
 * Longest block. chosen: two loses where swaps are dear, four gains nothing, and long blocks are
 * what a session drift outside the model punishes; same test.
 */
const MOST_IN_A_ROW = 3;
/**
 * What narrowing another open rival's band counts beside the closest one's. chosen: with three set-ups
 * and more it finds the quickest more often, the more so the dearer the swaps (four, 10 minutes, 40
 * runs: 81 instead of 64 %), at no cost where they are cheap, as a half or the whole has;
 * test/calibrate/orders.test.ts.
 */
const OTHER_RIVALS = 0.3;
const TIE = 1e-9;

/** Half-width in standard errors, from degrees of freedom and the information on the difference. */
export type IndexMultiplier = (df: number, z2: number) => number;

/** What the rule looks at; no run time is in it. */
export interface Situation {
  readonly design: RiddenDesign;
  /** The pair that the day is about: leader and closest rival. */
  readonly leader: SetupId;
  readonly rival: SetupId;
  /** Set-ups that the rider is to ride, baseline first. */
  readonly rideable: readonly SetupId[];
  /** Those still worth riding. */
  readonly alive: readonly SetupId[];
  readonly mounted: SetupId | null;
  /** Set-ups of the rider's counted runs, in order. */
  readonly counted: readonly SetupId[];
  /** Place of the next run in the model. */
  readonly next: Omit<DesignRow, "setup">;
  /** Null: no end of the day is known. */
  readonly minutesLeft: number | null;
}

/** What a ride costs. */
export interface RideCosts {
  /** A run and the way back up, minutes; null: not known, then time plays no role in the index. */
  readonly lapMinutes: number | null;
  readonly swapMinutes: (from: SetupId, to: SetupId) => number;
}

/** A set-up that could be ridden next. */
export interface Option {
  readonly setup: SetupId;
  /** Swap and lap, minutes; the swap alone when the lap is not known. */
  readonly minutes: number;
  readonly fits: boolean;
  /**
   * g_k: ln of how much narrower the deciding pair's band gets, per minute (per run when the lap is
   * not known); null when it is not in the running; Infinity when only this ride makes the difference
   * known at all.
   */
  readonly index: number | null;
}

export interface Choice {
  /** Null: nothing fits in the time left. */
  readonly setup: SetupId | null;
  /** Every set-up that the rider is to ride. */
  readonly options: readonly Option[];
  /** True if nothing but the mounted set-up is left to ride. */
  readonly isForced: boolean;
}

/** What a set-up costs now and whether it fits. */
export function optionsOf(
  situation: Pick<Situation, "mounted" | "minutesLeft" | "rideable">,
  costs: RideCosts,
): readonly Option[] {
  const { mounted, minutesLeft, rideable } = situation;
  return rideable.map((setup) => {
    const swap = mounted === null || mounted === setup ? 0 : costs.swapMinutes(mounted, setup);
    const minutes = (costs.lapMinutes ?? 0) + swap;
    const isLimited = minutesLeft !== null && costs.lapMinutes !== null;
    return { setup, minutes, fits: !isLimited || minutes <= minutesLeft + TIE, index: null };
  });
}

/**
 * The next set-up: the largest g = ln(h_now / h_next) a minute, h the half-width of the deciding pair
 * with the spread held, plus 0.3 times the same of the leader and each other open rival; the mounted
 * one counts 1.15 times and is passed over after three in a row.
 *
 * Without a lap time every ride counts as one minute, swaps included: an index per run. Void runs
 * do not count towards three in a row.
 *
 * @param multiplier - the band's; when it is infinite for any of the rides compared, the plain
 *   95 % t multiplier takes its place for all, and without degrees of freedom none does
 * @param coin - uniform in [0, 1), tossed only at exact ties
 */
export function chooseRide(
  situation: Situation,
  costs: RideCosts,
  multiplier: IndexMultiplier,
  coin: () => number,
): Choice {
  const { mounted, alive } = situation;
  const options = optionsOf(situation, costs);
  const isTired = mounted !== null && inARow(situation.counted, mounted) >= MOST_IN_A_ROW;
  const running = options.filter(
    (o) => o.fits && alive.includes(o.setup) && !(isTired && o.setup === mounted),
  );
  if (running.length === 0) {
    const last = options.find((o) => o.fits && o.setup === mounted) ?? null;
    const any = last ?? options.find((o) => o.fits) ?? null;
    return { setup: any?.setup ?? null, options, isForced: any !== null };
  }
  const [indices = [], ...others] = gainsOf(situation, running, costs, multiplier);
  const worths = indices.map((g, i) =>
    others.reduce((sum, other) => sum + OTHER_RIVALS * (other[i] ?? 0), g),
  );
  const best = Math.max(...worths);
  const tied = running.filter((_, i) => isTied(worths[i] ?? 0, best));
  return {
    setup: atTie(tied, situation, coin),
    options: options.map((o) => {
      const at = running.indexOf(o);
      return at < 0 ? o : { ...o, index: indices[at] ?? null };
    }),
    isForced: false,
  };
}

/** The situation after riding a set-up. */
export function afterRide(situation: Situation, ride: Option): Situation {
  const { minutesLeft, next } = situation;
  return {
    ...situation,
    design: withRun(situation.design, { ...next, setup: ride.setup }),
    mounted: ride.setup,
    counted: [...situation.counted, ride.setup],
    next: { ...next, k: next.k + 1 },
    minutesLeft: minutesLeft === null ? null : minutesLeft - ride.minutes,
  };
}

/** g of each ride for the deciding pair, then for the leader and each other open rival. */
function gainsOf(
  { design, leader, rival, alive, mounted, next }: Situation,
  running: readonly Option[],
  { lapMinutes }: RideCosts,
  multiplier: IndexMultiplier,
): readonly (readonly number[])[] {
  const after = running.map(({ setup }) => withRun(design, { ...next, setup }));
  const open = [rival, ...alive.filter((setup) => setup !== leader && setup !== rival)];
  return open.map((setup) => {
    const now = pairInformation(design, setup, leader);
    const then = after.map((ridden) => pairInformation(ridden, setup, leader));
    if (now.z2 === 0) return then.map(({ z2 }) => (z2 > 0 ? Number.POSITIVE_INFINITY : 0));
    const [h0 = 1, ...h] = halfWidths([now, ...then], multiplier);
    return running.map((o, i) => {
      const gain = Math.log(h0 / (h[i] ?? h0)) / (lapMinutes === null ? 1 : o.minutes);
      return o.setup === mounted ? gain * STAY_BONUS : gain;
    });
  });
}

/** In spreads; comparable among themselves only. */
function halfWidths(
  designs: readonly { readonly z2: number; readonly rankDf: number }[],
  multiplier: IndexMultiplier,
): readonly number[] {
  const by = (m: IndexMultiplier): readonly number[] =>
    designs.map(({ z2, rankDf }) => m(rankDf, z2) / Math.sqrt(z2));
  if (designs.some(({ rankDf }) => rankDf < 1)) return by(() => 1);
  const own = by(multiplier);
  return own.every(Number.isFinite) ? own : by((df) => studentQuantile(0.025, df));
}

function isTied(index: number, best: number): boolean {
  return index === best || Math.abs(index - best) <= TIE;
}

/** Fewest rides, then the mounted one, then the coin. */
function atTie(tied: readonly Option[], situation: Situation, coin: () => number): SetupId | null {
  const rides = (o: Option): number => situation.counted.filter((s) => s === o.setup).length;
  const fewest = Math.min(...tied.map(rides));
  const left = tied.filter((o) => rides(o) === fewest);
  const staying = left.find((o) => o.setup === situation.mounted);
  if (staying !== undefined) return staying.setup;
  const drawn = left.length > 1 ? left[Math.floor(coin() * left.length)] : left[0];
  return drawn?.setup ?? null;
}

function inARow(counted: readonly SetupId[], setup: SetupId): number {
  const other = counted.findLastIndex((s) => s !== setup);
  return counted.length - 1 - other;
}
