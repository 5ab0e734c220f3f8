// A pair as `compare --json` prints it; called by compare.ts and together.ts.
import type { Band, Pair } from "../domain/comparison.ts";
import type { DesignRow } from "./design.ts";
import {
  chancesOfVerdict,
  type DesignFigures,
  designsAhead,
  FEWEST_DF,
  looksAhead,
  type Standing,
} from "./forecast.ts";
import { isChosen, type Look, type PairLook, type RunChoice } from "./look.ts";
import { bandsOf, type PlannedBands, partCount, type Subject } from "./replay.ts";
import { cautiousDifferenceS } from "./verdict.ts";

/** What a forecast needs besides the look itself. */
export interface Ahead {
  /** Places of the planning order still to be ridden, in order; empty: no forecast. */
  readonly rows: readonly DesignRow[];
}

/**
 * The rows of every part, the whole run first.
 *
 * @param look - after all runs of the subject
 * @param calls - first calls, as `firstCalls` gives them
 */
export function pairRows(
  subject: Subject,
  look: Look,
  calls: readonly (readonly (number | null)[])[],
  ahead: Ahead,
): readonly (readonly Pair[])[] {
  const designs = new Map<string, readonly (readonly (DesignFigures | undefined)[])[]>();
  const designsOf = (choice: RunChoice): readonly (readonly (DesignFigures | undefined)[])[] => {
    const key = JSON.stringify(choice);
    const known = designs.get(key);
    if (known !== undefined) return known;
    const ridden = subject.runs.filter((run) =>
      isChosen(choice, { hasSectors: run.sectorS !== null, voidSectors: run.voidSectors }),
    );
    const { setups, drift, pairs } = subject;
    const made = designsAhead(ridden, ahead.rows, setups, drift, pairs);
    designs.set(key, made);
    return made;
  };
  return Array.from({ length: partCount(subject) }, (_, part) =>
    subject.pairs.map((pair, p) => {
      const { candidate, baseline } = pair;
      const n = subject.runs.length;
      const seen = look.pair(part, candidate, baseline, bandsOf(pair, part).at(n));
      const forecast = (): Forecast => {
        const standing = standingOf(seen);
        if (standing === null || ahead.rows.length === 0) return NO_FORECAST;
        const own = designsOf(seen.choice).map((pairs) => pairs[p]);
        return forecastOf(subject, seen, standing, own, pair, part);
      };
      return {
        ...figuresOf(subject, pair, part, seen),
        called_at_run: calls[part]?.[p] ?? null,
        ...(seen.verdict === "cannot-tell" ? forecast() : NO_FORECAST),
      };
    }),
  );
}

type Forecast = Pick<Pair, "more_runs" | "chance_within_plan">;
const NO_FORECAST: Forecast = { more_runs: null, chance_within_plan: null };

function figuresOf(
  subject: Subject,
  pair: PlannedBands,
  part: number,
  seen: PairLook,
): Omit<Pair, "called_at_run" | keyof Forecast> {
  const { figures, runs, baselineRuns } = seen.estimate;
  const { candidate, baseline } = pair;
  const error = figures?.error ?? null;
  const differenceS = figures?.differenceS ?? null;
  const band = (multiplier: number): Band | null => {
    if (differenceS === null || error === null || !Number.isFinite(multiplier)) return null;
    const half = multiplier * error.standardErrorS;
    return [differenceS - half, differenceS + half];
  };
  return {
    setup: candidate,
    baseline,
    runs,
    baseline_runs: baselineRuns,
    difference_s: differenceS,
    standard_error_s: error?.standardErrorS ?? null,
    df: error?.df ?? null,
    multiplier: Number.isFinite(seen.multiplier) ? seen.multiplier : null,
    band_s: band(seen.multiplier),
    inner_band_s: part === 0 ? band(seen.innerMultiplier) : null,
    cautious_s: figures === null ? null : cautiousDifferenceS(figures.differenceS, figures.z2),
    verdict: seen.verdict,
    new_to: subject.newSetups.has(candidate) || subject.newSetups.has(baseline),
  };
}

function standingOf(seen: PairLook): Standing | null {
  const { figures } = seen.estimate;
  if (figures?.error == null || figures.isTooEarly || figures.rankDf < FEWEST_DF) return null;
  const { standardErrorS, df } = figures.error;
  const { differenceS, z2 } = figures;
  return { differenceS, spreadS: standardErrorS * Math.sqrt(z2), z2, df };
}

function forecastOf(
  subject: Subject,
  seen: PairLook,
  standing: Standing,
  designs: readonly (DesignFigures | undefined)[],
  pair: PlannedBands,
  part: number,
): Forecast {
  const rankDf = seen.estimate.figures?.rankDf ?? 0;
  const n = subject.runs.length;
  const bands = bandsOf(pair, part);
  const looks = looksAhead(standing, rankDf, n, designs, bands, subject.spreads);
  const chances = chancesOfVerdict(standing, looks, part === 0 ? subject.marginS : null);
  const last = chances.at(-1);
  if (last === undefined) return NO_FORECAST;
  return {
    more_runs: last >= 0.5 ? chances.findIndex((chance) => chance >= 0.5) + 1 : null,
    chance_within_plan: last,
  };
}
