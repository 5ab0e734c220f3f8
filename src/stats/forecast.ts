// Whether, and about when, a verdict is to be expected within the plan; called by compare.ts and
// together.ts.
import type { SetupId, SpreadKind } from "../domain/session.ts";
import { type BandPlan, multipliersAt } from "./band-in-force.ts";
import { equalSpreadDf } from "./contrast-sums.ts";
import { type DesignRow, layoutOf } from "./design.ts";
import { item } from "./entry.ts";
import { bankedDesign, pairContrast } from "./part-fit.ts";
import { RowBank } from "./row-bank.ts";
import { studentUpperTail } from "./student-t.ts";

/**
 * Weak prior on difference/sigma (sd 2). chosen: between flat, over-optimistic early, and 1,
 * pessimistic for big differences.
 */
const PRIOR_PRECISION = 0.25;
/** No forecast before so many degrees of freedom. */
export const FEWEST_DF = 4;

/** A pair as it stands. */
export interface Standing {
  readonly differenceS: number;
  /** Of one run as this pair sees it: standard error x sqrt(z2), s. */
  readonly spreadS: number;
  readonly z2: number;
  readonly df: number;
}

/** A look to come. */
export interface LookAhead {
  readonly z2: number;
  /** Outer half-width there if the spread stays what it is, s; Infinity: too early. */
  readonly halfWidthS: number;
  readonly innerHalfWidthS: number;
}

/**
 * Chance that a verdict has been reached by each of the looks to come.
 *
 * @param marginS - s; null: only a difference can be called
 * @returns one chance a look, never falling
 */
export function chancesOfVerdict(
  now: Standing,
  looks: readonly LookAhead[],
  marginS: number | null,
): readonly number[] {
  let best = 0;
  return looks.map((look) => {
    best = Math.max(best, chanceAt(now, look, marginS));
    return best;
  });
}

function chanceAt(now: Standing, look: LookAhead, marginS: number | null): number {
  if (!Number.isFinite(look.halfWidthS)) return 0;
  const mean = (now.differenceS * now.z2) / (now.z2 + PRIOR_PRECISION);
  const stretch = (look.z2 + PRIOR_PRECISION) / look.z2;
  const gained = 1 / (now.z2 + PRIOR_PRECISION) - 1 / (look.z2 + PRIOR_PRECISION);
  const centre = mean * stretch;
  const width = now.spreadS * Math.sqrt(Math.max(0, gained)) * stretch;
  /** P(centre + width T > x). */
  const above = (x: number): number => {
    if (width > 0) return studentUpperTail((x - centre) / width, now.df);
    return centre > x ? 1 : 0;
  };
  const outer = above(look.halfWidthS) + (1 - above(-look.halfWidthS));
  const inner = marginS === null ? Number.NEGATIVE_INFINITY : marginS - look.innerHalfWidthS;
  if (!(inner > 0)) return outer;
  if (inner >= look.halfWidthS) return 1;
  return outer + above(-inner) - above(inner);
}

/** What the design alone says about a pair at a look. */
export interface DesignFigures {
  readonly z2: number;
  /** Runs less rank. */
  readonly rankDf: number;
  /** Degrees of freedom if all set-ups scattered alike; undefined where a set-up has none. */
  readonly equalDf: number | undefined;
}

/**
 * The design's figures now and after each run to come.
 *
 * @param ridden - runs in the fit
 * @param ahead - runs to come, in order
 * @returns [look][pair], the first look being now; undefined where the design determines nothing
 */
export function designsAhead(
  ridden: readonly DesignRow[],
  ahead: readonly DesignRow[],
  setups: readonly SetupId[],
  drift: Parameters<typeof layoutOf>[2],
  pairs: readonly { readonly candidate: SetupId; readonly baseline: SetupId }[],
): readonly (readonly (DesignFigures | undefined)[])[] {
  const bank = new RowBank(layoutOf([...ridden, ...ahead], setups, drift), 0);
  const bare = { timeS: 0, sectorS: null, voidSectors: [], isEarlyOnNew: false };
  for (const run of ridden) bank.add({ ...run, ...bare });
  const figures = (): readonly (DesignFigures | undefined)[] => {
    const design = bankedDesign(bank, bank.classes);
    return pairs.map(({ candidate, baseline }) => {
      const pair = pairContrast(design, candidate, baseline);
      if (pair === undefined) return undefined;
      const groups = pair.groupWeights.map((weight, g) => ({
        weight,
        df: item(design.groupDf, g),
      }));
      return { z2: pair.z2, rankDf: design.rankDf, equalDf: equalSpreadDf(groups, pair.z2) };
    });
  };
  const looks = [figures()];
  for (const run of ahead) {
    bank.add({ ...run, ...bare });
    looks.push(figures());
  }
  return looks;
}

/**
 * The looks to come of one pair, at today's spread.
 *
 * @param rankDf - the pair's runs less rank today
 * @param n - counted runs today; look i to come is n + 1 + i
 * @param designs - of this pair, the first being now
 */
export function looksAhead(
  now: Standing,
  rankDf: number,
  n: number,
  designs: readonly (DesignFigures | undefined)[],
  bands: BandPlan,
  spreads: SpreadKind,
): readonly LookAhead[] {
  const today = designs[0];
  if (today === undefined) return [];
  return designs.slice(1).map((design, i) => {
    const z2 = design === undefined ? now.z2 : (now.z2 * design.z2) / today.z2;
    const df = design === undefined ? 0 : dfAhead(now, rankDf, today, design, spreads);
    const { multiplier, innerMultiplier } = multipliersAt(bands.at(n + 1 + i), df, z2);
    const error = now.spreadS / Math.sqrt(z2);
    return { z2, halfWidthS: multiplier * error, innerHalfWidthS: innerMultiplier * error };
  });
}

function dfAhead(
  now: Standing,
  rankDf: number,
  today: DesignFigures,
  then: DesignFigures,
  spreads: SpreadKind,
): number {
  const gained = rankDf + then.rankDf - today.rankDf;
  if (spreads === "common") return gained;
  if (today.equalDf === undefined || then.equalDf === undefined) return 0;
  return (now.df * then.equalDf) / today.equalDf;
}
