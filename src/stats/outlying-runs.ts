// Runs that are slow beside the rider's other runs, so that somebody can be asked about them; called
// by the remarks. It asks, it never drops: dropping runs by their times breaks the bands' promise.
import type { ComparisonInput } from "../domain/comparison.ts";
import type { RiderId } from "../domain/session.ts";
import { type CountedRun, sectorCount, sortedRuns } from "./counted-runs.ts";
import { designRow, layoutOf } from "./design.ts";
import { item } from "./entry.ts";
import { orthogonalRow } from "./least-squares.ts";
import { isChosen, type RunChoice, type RunKind } from "./look.ts";
import { type BankedDesign, bankedDesign, type PartFit, partFit } from "./part-fit.ts";
import { RowBank } from "./row-bank.ts";
import { studentQuantile } from "./student-t.ts";

/**
 * Share of clean runs that are asked about for the whole run; as many again for the sectors together.
 * chosen: at 1 % in each of four sectors two clean days in three would end with a question, shared one
 * in three, and mistakes are found nearly as often (92 instead of 94 % at twenty runs).
 */
const FALSE_FLAGS = 0.01;
/** chosen: with fewer the other runs' scatter is hardly known; test/stats/outlying-runs.test.ts. */
const FEWEST_DF = 4;
/** chosen: of two runs nobody can say which is the odd one; test/stats/outlying-runs.test.ts. */
const FEWEST_RUNS = 3;
/** A run with less than this left of it is fitted by itself alone (leverage 1, to rounding). */
const OWN_FIT = 1e-9;
/** Less than this share of the scatter is left by rounding alone. */
const NO_SCATTER = 1e-12;

/** A run that is slower than the rider's other runs say. */
export interface OutlyingRun {
  readonly runId: string;
  /** 1-based; null: the whole run. */
  readonly sector: number | null;
  /** How much slower than a fit without it says, s, above 0. */
  readonly slowerS: number;
  /** The same in standard errors of itself; Infinity where the other runs do not scatter at all. */
  readonly studentised: number;
}

/**
 * A rider's counted runs that are too slow for their set-up and place in the day, over the whole run
 * and sector by sector, the worst first. The model is the comparison's, with one spread: the whole
 * run over the runs with nothing struck out, a sector over the runs that are good in it.
 *
 * Externally studentised residual d_i = e_i sqrt((nu - 1) / (RSS (1 - h_i) - e_i^2)), on the slow
 * side, against Student's t with nu - 1 degrees of freedom, at 1 % a run for the whole and 1 % shared
 * among the sectors.
 *
 * @param input - the session as its journal has it now
 * @param rider - id of one of its riders
 * @returns empty where there are too few runs to say (less than 4 degrees of freedom)
 * @throws {RangeError} if a finished run has no time or no place in the order
 * @see Belsley, Kuh & Welsch (1980), Regression Diagnostics, 2.1 (RSTUDENT)
 */
export function outlyingRuns(input: ComparisonInput, rider: RiderId): readonly OutlyingRun[] {
  const { counted } = sortedRuns(input, [rider]);
  const sectors = sectorCount(input);
  const setups = input.setups.map((setup) => setup.id);
  const bank = new RowBank(layoutOf(counted, setups, input.settings.drift), sectors);
  for (const run of counted) bank.add(run);
  const fields = new Map<string, Field>();
  const found = Array.from({ length: 1 + sectors }, (_, part) => {
    const choice: RunChoice = part === 0 ? "untouched" : { sector: part };
    const classes = bank.classes.filter((runs) => isChosen(choice, runs));
    const key = classes.map((runs) => bank.classes.indexOf(runs)).join();
    const field = fields.get(key) ?? fieldOf(bankedDesign(bank, classes), counted, choice);
    fields.set(key, field);
    return outlyingIn(field, part, part === 0 ? FALSE_FLAGS : FALSE_FLAGS / sectors);
  });
  return found.flat().toSorted((a, b) => b.studentised - a.studentised);
}

/** The runs of one fit with their places in the design. */
interface Field {
  readonly design: BankedDesign;
  readonly places: readonly Place[];
}

interface Place {
  readonly run: CountedRun;
  readonly row: readonly number[];
  /** 1 - leverage: what the other runs leave of it. */
  readonly left: number;
}

function fieldOf(design: BankedDesign, counted: readonly CountedRun[], choice: RunChoice): Field {
  const { bank, factor } = design;
  if (design.rankDf < FEWEST_DF) return { design, places: [] };
  const runs = counted.filter(
    (run) =>
      isChosen(choice, kindOf(run)) &&
      item(design.counts, bank.layout.setups.indexOf(run.setup)) >= FEWEST_RUNS,
  );
  const places = runs.map((run): Place => {
    const row = designRow(bank.layout, run);
    const q = orthogonalRow(factor, Float64Array.from(row));
    return { run, row, left: 1 - q.reduce((sum, v) => sum + v * v, 0) };
  });
  return { design, places: places.filter(({ left }) => left > OWN_FIT) };
}

function kindOf(run: CountedRun): RunKind {
  return { hasSectors: run.sectorS !== null, voidSectors: run.voidSectors };
}

/** @param level - share of clean runs that may be asked about */
function outlyingIn(
  { design, places }: Field,
  part: number,
  level: number,
): readonly OutlyingRun[] {
  const fit = places.length === 0 ? undefined : partFit(design, part);
  if (fit === undefined || fit.rss === 0) return [];
  const df = design.rankDf - 1;
  const limit = studentQuantile(level, df);
  return places.flatMap(({ run, row, left }): readonly OutlyingRun[] => {
    const timeS = part === 0 ? run.timeS : item(run.sectorS ?? [], part - 1);
    const residual = timeS - fittedS(fit, row);
    const studentised = studentisedResidual(residual, left, fit.rss, df);
    if (!(studentised > limit)) return [];
    const sector = part === 0 ? null : part;
    return [{ runId: run.runId, sector, slowerS: residual / left, studentised }];
  });
}

function fittedS(fit: PartFit, row: readonly number[]): number {
  return row.reduce((sum, x, j) => sum + x * item(fit.coefficients, j), 0);
}

/** @param left - 1 - leverage, above 0 */
function studentisedResidual(residual: number, left: number, rss: number, df: number): number {
  const others = rss * left - residual * residual;
  if (others <= NO_SCATTER * rss * left) {
    return residual > 0 ? Number.POSITIVE_INFINITY : Number.NEGATIVE_INFINITY;
  }
  return residual * Math.sqrt(df / others);
}
