// What a marked step of the ground did to the run times, and whether it can be told from a swap;
// called by the remark on steps of the ground.
import type { ComparisonInput } from "../domain/comparison.ts";
import type { DriftModel, RiderId, SetupId } from "../domain/session.ts";
import { blockOf, sortedRuns } from "./counted-runs.ts";
import { type DesignRow, layoutOf, stepColumns } from "./design.ts";
import { designsAhead } from "./forecast.ts";
import { contrastWeights } from "./least-squares.ts";
import { isChosen } from "./look.ts";
import { bankedDesign, contrastValue, type PartFit, partFit } from "./part-fit.ts";
import { setupsOf } from "./rider-plan.ts";
import { RowBank } from "./row-bank.ts";
import { studentQuantile } from "./student-t.ts";

/**
 * Under this share of the information the step is not told from the set-up: the band is wider by a
 * factor of 1.4 at least. chosen: a step within a stay on one set-up leaves more than half,
 * one right at a swap less until both have been ridden after it; test/stats/ground-steps.test.ts.
 */
const LITTLE = 0.5;
/** Runs of the pair before which a single run more changes everything. */
const FEWEST_RUNS = 4;

/** A step that has counted runs on both sides. */
export interface GroundStep {
  /** The first run on the new ground that has a place in the order, counted or not. */
  readonly runId: string;
  /** How much slower it made runs, s; null: not told from session drift and set-ups, or no scatter. */
  readonly effect: { readonly slowerS: number; readonly halfWidthS: number } | null;
}

/**
 * The steps between a rider's counted runs, in order, each against the ground before it.
 *
 * The model is the comparison's, with one spread, over the runs with nothing struck out. The band is
 * Student's at the session's confidence: a figure to read, not a verdict to wait for, so looking
 * after every run is not paid for.
 *
 * @throws {RangeError} if a finished run has no time or no place in the order
 */
export function groundSteps(input: ComparisonInput, rider: RiderId): readonly GroundStep[] {
  const { counted } = sortedRuns(input, [rider]);
  const layout = layoutOf(counted, setupsOf(input).all, input.settings.drift);
  if (layout.blocks.every(({ steps }) => steps.length === 0)) return [];
  const bank = new RowBank(layout, 0);
  for (const run of counted) bank.add({ ...run, sectorS: null });
  const untouched = bank.classes.filter((runs) => isChosen("untouched", runs));
  const fit = partFit(bankedDesign(bank, untouched), 0);
  return layout.blocks.flatMap(({ block, steps }, b) =>
    stepColumns(layout, b).flatMap((column, i) =>
      input.runs
        .filter(
          (run) =>
            run.rider === rider &&
            blockOf(rider, run.day) === block &&
            run.ground === steps[i] &&
            run.k !== null,
        )
        .slice(0, 1)
        .map(({ runId }) => ({ runId, effect: effectOf(fit, column, input.settings.confidence) })),
    ),
  );
}

function effectOf(fit: PartFit, column: number, confidence: number): GroundStep["effect"] {
  const { factor, rankDf } = fit.design;
  const unit = Array.from({ length: factor.columns }, (_, j) => Number(j === column));
  const found = contrastWeights(factor, unit);
  if (found === undefined || rankDf < 1 || fit.rss === 0) return null;
  const errorS = Math.sqrt(fit.rss / rankDf / found.z2);
  return {
    slowerS: contrastValue(fit, unit),
    halfWidthS: studentQuantile((1 - confidence) / 2, rankDf) * errorS,
  };
}

/**
 * Which set-up has to be ridden again because the ground changed just as a pair was swapped: all runs
 * of one lie before the step and all of the other after it, or the step takes more than half of what
 * the pair's runs tell.
 *
 * @param rows - all counted runs of one rider, in order
 * @param setups - set-ups among them, baseline first
 * @returns the one of the pair whose next run would tell more, the one left last where neither does;
 *   null where a step is told from the swap, or there is none
 */
export function setupToRepeat(
  rows: readonly DesignRow[],
  setups: readonly SetupId[],
  drift: DriftModel,
  pair: SetupPair,
): SetupId | null {
  const own = rows.filter((row) => row.setup === pair.candidate || row.setup === pair.baseline);
  const last = own.at(-1);
  if (last === undefined || !own.some((row, i) => isSwapAtStep(row, own[i - 1]))) return null;
  if (!isApart(own, pair) && !isPoor(rows, own.length, setups, drift, pair)) return null;
  const after = (setup: SetupId): number =>
    information([...rows, { ...last, k: last.k + 1, setup }], setups, drift, pair);
  const other = last.setup === pair.candidate ? pair.baseline : pair.candidate;
  return after(last.setup) > after(other) ? last.setup : other;
}

interface SetupPair {
  readonly candidate: SetupId;
  readonly baseline: SetupId;
}

function isSwapAtStep(row: DesignRow, before: DesignRow | undefined): boolean {
  return (
    before !== undefined &&
    row.block === before.block &&
    row.ground !== before.ground &&
    row.setup !== before.setup
  );
}

/** One set-up first, then the other, with a step between: no ground has both. */
function isApart(own: readonly DesignRow[], { candidate }: SetupPair): boolean {
  const swaps = own.filter((row, i) => i > 0 && row.setup !== own[i - 1]?.setup).length;
  const grounds = (isCandidate: boolean): readonly string[] =>
    own
      .filter((row) => (row.setup === candidate) === isCandidate)
      .map((row) => `${row.block} ${String(row.ground)}`);
  const ofBaseline = new Set(grounds(false));
  return swaps === 1 && grounds(true).every((ground) => !ofBaseline.has(ground));
}

function isPoor(
  rows: readonly DesignRow[],
  runsOfPair: number,
  setups: readonly SetupId[],
  drift: DriftModel,
  pair: SetupPair,
): boolean {
  if (runsOfPair < FEWEST_RUNS) return false;
  const level = rows.map((row) => ({ ...row, ground: 0 }));
  const levelled = information(level, setups, drift, pair);
  return information(rows, setups, drift, pair) < LITTLE * levelled;
}

/** z2 of the pair; 0 where the rows do not determine it. */
function information(
  rows: readonly DesignRow[],
  setups: readonly SetupId[],
  drift: DriftModel,
  pair: SetupPair,
): number {
  return designsAhead(rows, [], setups, drift, [pair])[0]?.[0]?.z2 ?? 0;
}
