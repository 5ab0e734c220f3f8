// How set-ups felt against the baseline, rider by rider and aspect by aspect; called by the summary
// once a comparison. Nothing of the comparison rests on it.
import type { ComparisonInput } from "../domain/comparison.ts";
import { askedAspects, type Feel, type FeelVerdict } from "../domain/feel.ts";
import { baselineOf, type Rider } from "../domain/session.ts";
import { clopperPearson, type ShareRange } from "../stats/clopper-pearson.ts";
import { sortedRuns } from "../stats/counted-runs.ts";
import { type FeelPair, feelPairs, type RatedRun } from "../stats/feel-pairs.ts";
import { signTest } from "../stats/sign-test.ts";
import { signedRank } from "../stats/signed-rank.ts";

/** With fewer untied pairs no p can reach either level: only the counts are shown. */
const FEWEST_UNTIED = 4;
const CLEAR_P = 0.05;
/**
 * chosen: with 0.13, four of four, five of five, six of seven, eight of ten lean; where nothing
 * differs that is said on one day in thirteen (7.5 % at ten pairs); feel.test.ts counts.
 */
const LEANING_P = 0.13;

/**
 * Every set-up against the baseline in every aspect that the rider rated at all. Only runs that count
 * are paired; a pair rated alike is dropped by the tests but counted in `same`.
 *
 * @returns riders in the sheet's order, aspects as they are asked, set-ups as declared
 */
export function feelOf(input: ComparisonInput): readonly Feel[] {
  const rated = input.ratings.map((rating) => rating.aspect);
  const aspects = [...new Set([...askedAspects(input.settings), ...rated])];
  return input.riders.flatMap((rider) =>
    aspects.flatMap((aspect) => aspectOf(input, rider, aspect)),
  );
}

function aspectOf(input: ComparisonInput, rider: Rider, aspect: string): readonly Feel[] {
  const scores = new Map(
    input.ratings.flatMap((each) => (each.aspect === aspect ? [[each.runId, each.score]] : [])),
  );
  const runs = sortedRuns(input, [rider.id]).counted.flatMap((run): readonly RatedRun[] => {
    const score = scores.get(run.runId);
    return score === undefined ? [] : [{ ...run, score }];
  });
  if (runs.length === 0) return [];
  const baseline = baselineOf(input.setups).id;
  return input.setups
    .filter(({ id }) => id !== baseline && (rider.setups?.includes(id) ?? true))
    .map(({ id }) => ({
      rider: rider.id,
      aspect,
      setup: id,
      baseline,
      ...standing(feelPairs(runs, id, baseline)),
    }));
}

function standing(
  pairs: readonly FeelPair[],
): Omit<Feel, "rider" | "aspect" | "setup" | "baseline"> {
  const differences = pairs.map(({ candidate, baseline }) => candidate.score - baseline.score);
  const better = differences.filter((difference) => difference > 0).length;
  const worse = differences.filter((difference) => difference < 0).length;
  const counts = {
    pairs: pairs.length,
    better,
    worse,
    same: pairs.length - better - worse,
    // Higher and quicker, or lower and slower: signs of score and time differ.
    agree: pairs.filter(
      ({ candidate, baseline }, i) =>
        (differences[i] ?? 0) * (candidate.timeS - baseline.timeS) < 0,
    ).length,
  };
  if (better + worse < FEWEST_UNTIED) {
    return { ...counts, p: null, signed_rank_p: null, verdict: null };
  }
  const p = signTest(better, worse);
  return { ...counts, p, signed_rank_p: signedRank(differences).p, verdict: verdictOf(p) };
}

function verdictOf(p: number): FeelVerdict {
  if (p <= CLEAR_P) return "clear";
  return p <= LEANING_P ? "leaning" : "none";
}

/** chosen: below, the range takes in everything between "no effects" and "both large". */
const FEWEST_FOR_SHARE = 12;

/**
 * How often clock and feel may point the same way, at 95 %.
 *
 * @returns undefined below twelve untied pairs: then only the counts say anything
 */
export function agreementRange({ agree, better, worse }: Feel): ShareRange | undefined {
  const untied = better + worse;
  return untied < FEWEST_FOR_SHARE ? undefined : clopperPearson(agree, untied, 0.95);
}
