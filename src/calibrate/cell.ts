// The kinds of day that are simulated, one a row of the answer; called by calibrate.ts.
import { DRIFT_TRUTHS, type DriftTruth } from "./drift-truth.ts";

/** One kind of day; sizes in run-to-run spreads. */
export interface Cell {
  readonly drift: DriftTruth;
  /** Spread of the candidate over that of every other set-up. */
  readonly spreadRatio: number;
  /** How much slower the first ride on a set-up is that the rider has to get used to. */
  readonly setupLearning: number;
  /** Share of runs with a mistake. */
  readonly mistakes: number;
  /** True difference of the first candidate, quicker and slower on every other day. */
  readonly effect: number;
}

export const EFFECTS = [0, 0.5, 1, 1.5, 2] as const;
export const SPREAD_RATIOS = [1, 2, 3] as const;
const SETUP_LEARNING = [1, 2] as const;
const MISTAKES = [0.05, 0.1] as const;

const PLAIN: Cell = { drift: "none", spreadRatio: 1, setupLearning: 0, mistakes: 0, effect: 0 };

/**
 * Every cell: each session drift with each effect; each session drift with each spread ratio where
 * there is no difference; then, without session drift, one trouble at a time with each effect.
 */
export function allCells(): readonly Cell[] {
  const withEffects = (cell: Cell, effects: readonly number[] = EFFECTS): Cell[] =>
    effects.map((effect) => ({ ...cell, effect }));
  const unequal = SPREAD_RATIOS.filter((ratio) => ratio !== 1);
  return [
    ...DRIFT_TRUTHS.flatMap((drift) => withEffects({ ...PLAIN, drift })),
    ...DRIFT_TRUTHS.flatMap((drift) =>
      unequal.flatMap((spreadRatio) =>
        withEffects({ ...PLAIN, drift, spreadRatio }, drift === "none" ? EFFECTS : [0]),
      ),
    ),
    ...SETUP_LEARNING.flatMap((setupLearning) => withEffects({ ...PLAIN, setupLearning })),
    ...MISTAKES.flatMap((mistakes) => withEffects({ ...PLAIN, mistakes })),
  ];
}

/** Whether the forecast is put to the test on such days: nothing but the difference varies. */
export function isPlain(cell: Cell): boolean {
  const { drift, spreadRatio, setupLearning, mistakes } = cell;
  return drift === "none" && spreadRatio === 1 && setupLearning === 0 && mistakes === 0;
}
