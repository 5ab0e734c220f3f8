// What to ride next, and when to stop; called by the summary after every change.
import type {
  Alternative,
  ComparisonInput,
  Next,
  RiderComparison,
  Stop,
} from "../domain/comparison.ts";
import type { Rider, SetupId } from "../domain/session.ts";
import { plannedRunsOf } from "../stats/rider-plan.ts";
import { firstThatFits, type Wanted, wantedRides } from "./first-rides.ts";
import { endOfDay, type Proposal, proposedEnd, type View, viewOf } from "./hardly-any-chance.ts";
import { nextRider } from "./next-rider.ts";
import { pairAhead } from "./pair-ahead.ts";
import { coinAt, type Question, questionOf, sceneOf } from "./question.ts";
import { type ReasonFacts, reasonFor } from "./reason.ts";
import { withRun } from "./ridden-design.ts";
import { halfWidthNow, type RiderStanding, riderStanding } from "./rider-standing.ts";
import { type RiderStop, riderStops } from "./rider-stops.ts";
import {
  type Choice,
  chooseRide,
  type IndexMultiplier,
  type Option,
  optionsOf,
  type Situation,
} from "./suggestion-rule.ts";
import { type WarmUpState, warmUpToday, warmUpWords } from "./warm-up.ts";

/** Counted runs of a plan from which `learning` costs little. */
const LEARNING_FROM = 12;

/** An end of the plan that the time left suggests; the operator may announce it, once. */
export interface EarlierEnd {
  readonly rider: string;
  /** Counted runs of that rider. */
  readonly endRun: number;
  readonly runsLeft: number;
}

export interface Advice {
  readonly next: Next;
  /** Every set-up that fits in the time left, best first. */
  readonly alternatives: readonly Alternative[];
  /** Proposed from the clock alone; null while the time suffices or it is too late to announce. */
  readonly earlierEnd: EarlierEnd | null;
  /** What keeps the rider from being sent; while any stands no set-up is suggested. */
  readonly stops: readonly RiderStop[];
}

/**
 * The suggestion for the next run.
 *
 * First practice runs on what is new to the rider, then the mirrored opening, then the rule. Only
 * declared set-ups are ever suggested; the rider decides.
 *
 * @param comparisons - of the same input, as `compareRiders` gives them
 */
export function adviseNext(
  input: ComparisonInput,
  comparisons: readonly RiderComparison[],
): Advice {
  return adviseNextBy(input, comparisons, null);
}

/**
 * The same with another multiplier in the index.
 *
 * @param multiplier - half-width in standard errors; null: that of the band in force. Seconds and
 *   stops keep the band in force
 */
export function adviseNextBy(
  input: ComparisonInput,
  comparisons: readonly RiderComparison[],
  multiplier: IndexMultiplier | null,
): Advice {
  const rider = nextRider(input, comparisons);
  if (rider === undefined) return nothing(null, "no rider is declared");
  return adviseRider(input, rider, multiplier);
}

/** The same for a given rider, whoever's turn it is. */
export function adviseRider(
  input: ComparisonInput,
  rider: Rider,
  multiplier: IndexMultiplier | null = null,
): Advice {
  const advice = ridingAdvice(input, rider, multiplier);
  const stops = riderStops(input, rider);
  const [first] = stops;
  if (first === undefined || advice.next.setup === null) return { ...advice, stops };
  const { earlierEnd } = advice;
  const answer = first.level === "ask" ? "; answer it to go on" : "";
  const nowS = advice.next.band_now_s;
  return { ...nothing(rider.id, first.sentence + answer, null, nowS), earlierEnd, stops };
}

/** The same of a rider who is neither tired nor held. */
function ridingAdvice(
  input: ComparisonInput,
  rider: Rider,
  multiplier: IndexMultiplier | null,
): Advice {
  const scene = sceneOf(input, rider);
  const [option] = optionsOf(scene, scene.costs);
  if (option === undefined) {
    return nothing(rider.id, `no set-up is declared for ${rider.id} to ride`);
  }
  const standing = riderStanding(input, rider);
  if (standing === undefined) return onlySetup(input, rider, option);
  return answer(questionOf(input, rider, standing, scene, multiplier));
}

/**
 * The set-up of the suggestion alone, for whoever asks thousands of times.
 *
 * @param standing - of the same input and rider, as `riderStanding` gives it
 * @returns null when nothing fits in the time left
 */
export function suggestedSetup(
  input: ComparisonInput,
  rider: Rider,
  standing: RiderStanding,
): SetupId | null {
  const question = questionOf(input, rider, standing, sceneOf(input, rider), null);
  return choiceOf(question, wantedRides(question)).setup;
}

function choiceOf(question: Question, wanted: readonly Wanted[]): Choice {
  if (wanted.length > 0) return firstThatFits(wanted, question);
  const { input, situation, costs, multiplier } = question;
  return chooseRide(situation, costs, multiplier, () => coinAt(input, situation.counted.length));
}

function answer(question: Question): Advice {
  const { rider, standing } = question;
  const wanted = wantedRides(question);
  const choice = choiceOf(question, wanted);
  const nowS = halfWidthNow(standing.rival);
  const chosen = choice.options.find((o) => o.setup === choice.setup);
  if (chosen === undefined) return dayOver(question, nowS);
  const end = wanted.length > 0 || standing.isDecided ? undefined : endOfDay(question);
  const earlier = end === undefined ? null : proposedEnd(question, end);
  const view = end === undefined ? null : viewOf(question, end, earlier);
  const stop = stopOf(standing, view);
  const own = wanted.find((w) => w.setup === chosen.setup);
  const outlook = { stop, earlier, view };
  const reason = becauseOf(question, choice, chosen, own, outlook);
  const warmUp = stop === null ? warmUpToday(question.input, rider.id) : null;
  return {
    next: {
      rider: rider.id,
      setup: chosen.setup,
      because: warmUp === null ? reason : warmUpReason(question, warmUp, chosen, own, reason),
      band_now_s: nowS,
      band_after_s: halfWidthAfter(question, chosen.setup),
      stop,
      ...(warmUp === null
        ? {}
        : {
            warm_up: {
              laps: warmUp.laps,
              settled: warmUp.isSettled,
              over: warmUp.isOver,
              still_finding_s_per_run: warmUp.perRunS,
            },
          }),
    },
    alternatives: alternativesOf(question, choice),
    earlierEnd:
      earlier === null
        ? null
        : { rider: rider.id, endRun: earlier.endRun, runsLeft: earlier.runsLeft },
    stops: [],
  };
}

function warmUpReason(
  { input, rider, situation }: Question,
  warmUp: WarmUpState,
  chosen: Option,
  own: Wanted | undefined,
  reason: string,
): string {
  const planned = plannedRunsOf(input, rider) ?? 0;
  return warmUpWords(warmUp, {
    mounted: situation.mounted,
    setup: chosen.setup,
    practice: own?.practice == null ? null : practiceWords(own.setup, own.practice),
    reason,
    isLearningOffered: input.settings.drift === "linear" && planned >= LEARNING_FROM,
  });
}

function practiceWords(setup: SetupId, { run, of }: { readonly run: number; readonly of: number }) {
  return `practice run ${String(run)} of ${String(of)} on ${setup}`;
}

function becauseOf(
  question: Question,
  choice: Choice,
  chosen: Option,
  own: Wanted | undefined,
  { stop, earlier, view }: { stop: Stop | null; earlier: Proposal | null; view: View | null },
): string {
  const { input, rider, standing, situation, costs } = question;
  if (own?.practice != null) {
    const which = practiceWords(own.setup, own.practice);
    return `${which}, not counted: ${own.setup} is new to ${rider.id}`;
  }
  const told = (o: Option): ReasonFacts["choice"] => ({
    setup: o.setup,
    minutes: o.minutes,
    swapMinutes: o.minutes - (costs.lapMinutes ?? 0),
    halfWidthS: halfWidthAfter(question, o.setup),
  });
  const other = otherOption(choice, situation);
  const isProposing = earlier?.isUrgent === true || view?.isSavedByEarlierEnd === true;
  const n = situation.counted.length;
  const endS = view?.halfWidthS ?? Number.POSITIVE_INFINITY;
  return reasonFor({
    stop,
    isSame: [standing.rival, ...standing.settled].every(
      ({ band }) => band?.verdict === "no-difference",
    ),
    isMounted: chosen.setup === situation.mounted,
    choice: told(chosen),
    other: other === undefined ? null : told(other),
    isMostForPair: other === undefined || (chosen.index ?? 0) >= (other.index ?? 0),
    isForced: choice.isForced,
    isLapKnown: costs.lapMinutes !== null,
    opening: own?.opening ?? null,
    counted: n,
    isLastOfPlan: n + 1 === standing.endRun,
    isPlanOver: input.settings.bands === "plan" && standing.endRun !== null && n >= standing.endRun,
    nowS: halfWidthNow(standing.rival),
    pair: standing.setups > 2 ? `${standing.leader}-${standing.rival.setup}` : null,
    dropped: own === undefined && stop === null ? droppedFrom(standing) : [],
    endS: Number.isFinite(endS) ? endS : null,
    earlierEnd: isProposing ? earlier : null,
  });
}

/** Half-width of the deciding pair after one more run, at today's spread, s; null while infinite. */
function halfWidthAfter(question: Question, setup: SetupId): number | null {
  const { input, pair, standing, situation, today } = question;
  const bands = standing.rival.band?.bands;
  if (pair === undefined || bands === undefined) return null;
  const then = withRun(situation.design, { ...situation.next, setup });
  const limits = bands.at(situation.counted.length + 1);
  const after = pairAhead(pair, input.settings.spreads, today, then, limits);
  return Number.isFinite(after.halfWidthS) ? after.halfWidthS : null;
}

function stopOf(standing: RiderStanding, view: View | null): Stop | null {
  if (standing.isDecided) return "decided";
  return view?.isHopeless === true ? "cannot-be-decided-today" : null;
}

/** What the choice is told apart from: the mounted set-up, else the best of the others. */
function otherOption(choice: Choice, { mounted }: Situation): Option | undefined {
  const others = choice.options.filter((o) => o.setup !== choice.setup && o.index !== null);
  return (
    others.find((o) => o.setup === mounted) ??
    others.toSorted((a, b) => (b.index ?? 0) - (a.index ?? 0))[0]
  );
}

function droppedFrom(standing: RiderStanding): ReasonFacts["dropped"] {
  return standing.settled.flatMap((rivalry) => {
    const half = halfWidthNow(rivalry);
    const differenceS = rivalry.band?.differenceS ?? null;
    if (rivalry.band?.verdict !== "slower" || half === null || differenceS === null) return [];
    return [{ setup: rivalry.setup, leader: standing.leader, differenceS, halfWidthS: half }];
  });
}

function alternativesOf(question: Question, choice: Choice): readonly Alternative[] {
  const rank = (o: Option): number =>
    o.setup === choice.setup ? Number.POSITIVE_INFINITY : (o.index ?? Number.NEGATIVE_INFINITY);
  return choice.options
    .filter((o) => o.fits)
    .toSorted((a, b) => (rank(a) === rank(b) ? 0 : rank(b) - rank(a)))
    .map((o) => ({
      setup: o.setup,
      minutes: o.minutes,
      band_after_s: halfWidthAfter(question, o.setup),
      index: o.index !== null && Number.isFinite(o.index) ? o.index : null,
    }));
}

function dayOver({ rider, situation }: Question, nowS: number | null): Advice {
  const left = Math.max(0, Math.floor(situation.minutesLeft ?? 0));
  const width = nowS === null ? "" : `; the band ends at +-${nowS.toFixed(1)} s`;
  const because = `day over: no run fits in the ${String(left)} min left${width}`;
  return nothing(rider.id, because, "day-over", nowS);
}

function onlySetup(input: ComparisonInput, rider: Rider, option: Option): Advice {
  if (!option.fits) return nothing(rider.id, "day over: no run fits in the time left", "day-over");
  const because =
    input.setups.length > 1
      ? `${option.setup} is the only set-up that ${rider.id} is to ride`
      : `${option.setup} is the only set-up: add another to compare`;
  return {
    next: { ...nothing(rider.id, because).next, setup: option.setup },
    alternatives: [
      { setup: option.setup, minutes: option.minutes, band_after_s: null, index: null },
    ],
    earlierEnd: null,
    stops: [],
  };
}

function nothing(
  rider: string | null,
  because: string,
  stop: Stop | null = null,
  nowS: number | null = null,
): Advice {
  return {
    next: { rider, setup: null, because, band_now_s: nowS, band_after_s: null, stop },
    alternatives: [],
    earlierEnd: null,
    stops: [],
  };
}
