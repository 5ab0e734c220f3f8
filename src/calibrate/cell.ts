// The kinds of day that are simulated, one a row of the answer; called by blocks.ts and
// calibration.ts.
import { DRIFT_TRUTHS, type DriftTruth } from "./drift-truth.ts";
import type { Trial } from "./trial.ts";

/**
 * How a rider's day ends: with the plan or the time; at an earlier end announced at a moment drawn;
 * at the one that the day's own clock gives, announced in time; or long after the plan.
 */
type Ending = "planned" | "announced" | "clock" | "overtime";

/** One kind of day; sizes in run-to-run spreads. */
export interface Cell {
  readonly drift: DriftTruth;
  /** Whether the operator marks the mid-day step of the ground when it happens. */
  readonly isMarked: boolean;
  /** Spread of the odd set-up over that of every other. */
  readonly spreadRatio: number;
  /** The odd set-up. */
  readonly odd: "candidate" | "baseline";
  /** How much slower the first ride on a set-up is that the rider has to get used to. */
  readonly setupLearning: number;
  /** Share of runs with a mistake. */
  readonly mistakes: number;
  readonly ending: Ending;
  /**
   * What differs: the candidate, quicker and slower on every other day, or the best one, each set-up
   * in turn, quicker than all others.
   */
  readonly differs: "candidate" | "best";
  /** By how much. */
  readonly effect: number;
}

export const EFFECTS = [0, 0.5, 1, 1.5, 2] as const;
export const SPREAD_RATIOS = [1, 2, 3] as const;
const UNEQUAL = SPREAD_RATIOS.filter((ratio) => ratio !== 1);
const SETUP_LEARNING = [1, 2] as const;
const MISTAKES = [0.05, 0.1] as const;

/** Nothing but chance happens. */
export const PLAIN: Cell = {
  drift: "none",
  isMarked: false,
  spreadRatio: 1,
  odd: "candidate",
  setupLearning: 0,
  mistakes: 0,
  ending: "planned",
  differs: "candidate",
  effect: 0,
};

/**
 * Each session drift with each effect; each session drift with each spread ratio where there is no
 * difference; then, without session drift, one trouble at a time with each effect.
 */
function mainCells(): readonly Cell[] {
  return [
    ...DRIFT_TRUTHS.flatMap((drift) => withEffects({ ...PLAIN, drift })),
    ...DRIFT_TRUTHS.flatMap((drift) =>
      UNEQUAL.flatMap((spreadRatio) =>
        withEffects({ ...PLAIN, drift, spreadRatio }, drift === "none" ? EFFECTS : [0]),
      ),
    ),
    ...SETUP_LEARNING.flatMap((setupLearning) => withEffects({ ...PLAIN, setupLearning })),
    ...MISTAKES.flatMap((mistakes) => withEffects({ ...PLAIN, mistakes })),
  ];
}

/**
 * Days whose step of the ground is marked; days that end otherwise, at each spread ratio; with three set-ups or more a baseline that scatters
 * more, and a candidate or a baseline that scatters less, than all the others.
 */
function cellsBeside({ sheet }: Trial): readonly Cell[] {
  const { settings, setups } = sheet;
  const isPlanned = settings.plannedRuns !== null && settings.bands === "plan";
  const endings: readonly Ending[] = isPlanned ? ["announced", "overtime"] : [];
  return [
    ...withEffects({ ...PLAIN, drift: "ground-step", isMarked: true }),
    ...endings.flatMap((ending) =>
      SPREAD_RATIOS.flatMap((spreadRatio) =>
        withEffects({ ...PLAIN, ending, spreadRatio }, spreadRatio === 1 ? EFFECTS : [0]),
      ),
    ),
    ...(setups.length < 3 ? [] : oddOnes()),
  ];
}

function oddOnes(): readonly Cell[] {
  const more = DRIFT_TRUTHS.flatMap((drift) =>
    UNEQUAL.map((spreadRatio): Cell => ({ ...PLAIN, drift, spreadRatio, odd: "baseline" })),
  );
  const less = UNEQUAL.flatMap((ratio): readonly Cell[] => [
    { ...PLAIN, spreadRatio: 1 / ratio },
    { ...PLAIN, spreadRatio: 1 / ratio, odd: "baseline" },
  ]);
  return [...more, ...less];
}

/** One set-up best, the worst case for telling it from all others; both ends where time may be short. */
function bestCells({ sheet }: Trial): readonly Cell[] {
  const { settings } = sheet;
  const best: Cell = { ...PLAIN, differs: "best", drift: "day" };
  const isCut =
    settings.plannedRuns !== null && settings.bands === "plan" && settings.minutes !== null;
  const endings: readonly Ending[] = isCut ? ["planned", "clock"] : ["planned"];
  return endings.flatMap((ending) => withEffects({ ...best, ending }));
}

/** Every cell of a trial: the main ones, then those beside. */
export function cellsOf(trial: Trial): readonly Cell[] {
  if (trial.kinds === "best") return bestCells(trial);
  const cells = [...mainCells(), ...cellsBeside(trial)];
  switch (trial.kinds) {
    case "all":
      return cells;
    case "no-difference":
      return cells.filter((cell) => cell.effect === 0);
    case "difference":
      return cells.filter(isPlain);
  }
}

function withEffects(cell: Cell, effects: readonly number[] = EFFECTS): readonly Cell[] {
  return effects.map((effect) => ({ ...cell, effect }));
}

/** Whether the forecast is put to the test on such days: nothing but the difference varies. */
export function isPlain(cell: Cell): boolean {
  return (
    cell.drift === "none" &&
    cell.spreadRatio === 1 &&
    cell.setupLearning === 0 &&
    cell.mistakes === 0 &&
    cell.ending === "planned"
  );
}
