// Which band holds at a look: plan band, its last word, overtime or open band; called by look.ts,
// the forecast and the advisor.
import type { BandKind } from "../domain/session.ts";
import { bandMultiplier, openPhi, PHI_WITHOUT_PLAN, planPhi } from "./band.ts";
import { FEWEST_PLANNED_DF, planThreshold } from "./thresholds.ts";

/** Share of the level that the plan band spends up to the planned end. */
const SHARE_IN_PLAN = 0.9;
/** Share of the level that the open band spends in overtime. */
const SHARE_IN_OVERTIME = 0.5;
/** The plan band's tables end here. */
const LARGEST_LEVEL = 0.1;

/** Prior precision and thresholds at one look. */
export interface Limits {
  readonly phi: number;
  /** Threshold on ln evidence of the outer band. */
  readonly outerL: number;
  /** Threshold on ln evidence of the inner band, at twice the level. */
  readonly innerL: number;
}

/** The bands of one pair for the whole session. */
export interface BandPlan {
  /** Limits after n counted runs. */
  readonly at: (n: number) => Limits;
  /** Limits before the end, whatever n: what the suggestion compares set-ups with. */
  readonly beforeEnd: Limits;
  /** Counted runs at which the last word is spoken; null without a plan. */
  readonly endRun: number | null;
}

/**
 * The bands of a pair.
 *
 * @param bands - kind declared before run 1
 * @param level - the pair's share of 1 - confidence, above 0 and at most 0.1
 * @param plan - what was promised before run 1; null without one, or for a set-up declared later
 *   or a plan too short for the plan band: then the open band with phi = 0.5 and the whole level
 * @param endRun - N, or the earlier end announced once; null without a plan
 */
export function bandPlan(
  bands: BandKind,
  level: number,
  plan: { readonly nuN: number; readonly z2N: number } | null,
  endRun: number | null,
): BandPlan {
  if (plan === null) return always(openLimits(level, PHI_WITHOUT_PLAN), endRun);
  if (bands === "open") {
    return always(openLimits(level, openPhi(plan.nuN, plan.z2N, level)), endRun);
  }
  if (plan.nuN < FEWEST_PLANNED_DF || endRun === null) {
    return always(openLimits(level, PHI_WITHOUT_PLAN), endRun);
  }
  const spent = SHARE_IN_PLAN * level;
  const innerLevel = Math.min(2 * spent, LARGEST_LEVEL);
  const limits = (kind: "L1" | "LN"): Limits => ({
    phi: planPhi(plan.z2N),
    outerL: planThreshold(kind, spent, plan.nuN),
    innerL: planThreshold(kind, innerLevel, plan.nuN),
  });
  const beforeEnd = limits("L1");
  const lastWord = limits("LN");
  const inOvertime = SHARE_IN_OVERTIME * level;
  const overtime = openLimits(inOvertime, openPhi(plan.nuN, plan.z2N, inOvertime));
  return {
    at: (n) => (n < endRun ? beforeEnd : n === endRun ? lastWord : overtime),
    beforeEnd,
    endRun,
  };
}

function always(limits: Limits, endRun: number | null): BandPlan {
  return { at: () => limits, beforeEnd: limits, endRun };
}

function openLimits(level: number, phi: number): Limits {
  return { phi, outerL: -Math.log(level), innerL: -Math.log(2 * level) };
}

/**
 * Outer and inner multiplier at a look.
 *
 * @param df - degrees of freedom of the difference, fractions allowed
 * @param z2 - information on the difference from the design
 * @returns Infinity where it is too early
 */
export function multipliersAt(
  limits: Limits,
  df: number,
  z2: number,
): { readonly multiplier: number; readonly innerMultiplier: number } {
  const r = limits.phi / (limits.phi + z2);
  return {
    multiplier: bandMultiplier(df, r, limits.outerL),
    innerMultiplier: bandMultiplier(df, r, limits.innerL),
  };
}

/**
 * Fewest counted runs between announcing an earlier end and that end.
 *
 * @param n - planned runs
 */
export function noticeRuns(n: number): number {
  return Math.max(2, Math.ceil(n / 10));
}
