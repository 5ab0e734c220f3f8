// The answer in words and columns; called by the command line.
import {
  type Calibration,
  type CalibrationCell,
  type CellBeside,
  shareError,
} from "./calibration.ts";
import { EFFECTS, SPREAD_RATIOS } from "./cell.ts";

/** One line each, every share with its simulation error. */
export function calibrationLines(calibration: Calibration): readonly string[] {
  const { plan, days, seed, cells } = calibration;
  const margin = plan.margin_s === null ? "no margin" : `margin ${plan.margin_s.toFixed(2)} s`;
  const over = plan.days > 1 ? ` over ${String(plan.days)} days` : "";
  const effects = cells.some((cell) => cell.effect_spreads !== 0);
  const isTogether = cells.some((cell) => cell.together !== undefined);
  return [
    `Set-ups ${plan.setups.join(" ")}, ${String(plan.runs)} counted runs${over}, order ${plan.order}, ` +
      `session drift in the model: ${plan.drift}, ${plan.bands} band, ` +
      `confidence ${String(plan.confidence)}, ${margin}.`,
    `${String(days)} days a figure, seed ${String(seed)}. Sizes in run-to-run spreads (${plan.spread_s.toFixed(2)} s).`,
    ...plan.notes.map((note) => `Note: ${note}.`),
    "",
    "No difference there: days on which one is called, at any look, % (+- simulation error)",
    ...falseCalls(calibration, (cell) => cell),
    ...(isTogether
      ? [
          "",
          `The same days, all ${String(plan.riders)} riders together`,
          ...falseCalls(calibration, (cell) => cell.together),
        ]
      : []),
    ...(effects ? effectTables(withMarked(calibration)) : []),
    ...forecastLines(calibration),
  ];
}

/** With the days beside that are simulated with every difference and have a row of their own. */
function withMarked(calibration: Calibration): Calibration {
  const { cells, beside } = calibration;
  const told = beside.filter((cell) => cell.ground_marked || cell.ending === "clock");
  return { ...calibration, cells: [...cells, ...told] };
}

function effectTables({ plan, cells, days }: Calibration): readonly string[] {
  const none = plan.margin_s === null;
  const isOneBest = plan.kinds === "best";
  const what = isOneBest ? "One set-up is quicker than all others" : `${plan.candidate} differs`;
  return [
    ...(isOneBest ? decidedTables(cells, days) : []),
    "",
    `${what}: days on which a difference is called, %, and runs up to the decision or the end`,
    ...effectTable(
      cells,
      (cell) => `${counted(cell.called, days)}${cell.mean_runs.toFixed(1).padStart(5)}`,
    ),
    ...(cells.some((cell) => cell.together !== undefined)
      ? [
          "",
          `The same days, all ${String(plan.riders)} riders together`,
          ...effectTable(cells, (cell) => counted(cell.together?.called ?? 0, days)),
        ]
      : []),
    "",
    "Days with a wrong verdict, at any look, %",
    ...effectTable(cells, (cell) => counted(cell.wrong, days)),
    ...(none
      ? []
      : [
          "",
          "Days with no difference worth having, at any look, %",
          ...effectTable(cells, (cell) => counted(cell.no_difference, days)),
        ]),
  ];
}

/** What a day with one best set-up is for: to find it. */
function decidedTables(cells: readonly CalibrationCell[], days: number): readonly string[] {
  const until = ({ mean_minutes, mean_swaps }: CalibrationCell): string =>
    `${mean_minutes === null ? "-" : mean_minutes.toFixed(0)} min, ${mean_swaps.toFixed(1)}`;
  return [
    "",
    "Days on which it is found, called quicker than every other set-up, %",
    ...effectTable(cells, (cell) => counted(cell.decided, days)),
    "",
    "Days decided for another, or where none is quicker, %",
    ...effectTable(cells, (cell) => counted(cell.decided_wrong, days)),
    "",
    "Minutes and swaps up to the decision or the end",
    ...effectTable(cells, until),
  ];
}

const LABEL = 22;
const COLUMN = 17;

type Called = Pick<CalibrationCell, "called"> | undefined;

/** One row a kind of day, one column a spread ratio where it is simulated with each. */
function falseCalls(
  { cells, beside, days }: Calibration,
  called: (cell: CalibrationCell) => Called,
): readonly string[] {
  const rows = new Map<string, Map<number, string>>();
  const put = (label: string, cell: CalibrationCell): void => {
    const told = called(cell);
    const row = rows.get(label) ?? new Map<number, string>();
    row.set(cell.spread_ratio, told === undefined ? "" : counted(told.called, days));
    rows.set(label, row);
  };
  for (const cell of cells) {
    if (cell.effect_spreads !== 0) continue;
    put(isDriftOnly(cell) ? `drift ${cell.drift}` : labelOf(cell), cell);
  }
  const [candidate = ""] = [...new Set(beside.map((cell) => cell.odd_setup))];
  for (const cell of beside) {
    if (cell.effect_spreads !== 0) continue;
    const whose = cell.odd_setup === candidate ? "" : `odd ${cell.odd_setup}, `;
    const how =
      cell.ending === "planned" || cell.ending === "clock"
        ? labelOf({ ...cell, spread_ratio: 1 })
        : `end ${cell.ending}`;
    if (cell.spread_ratio < 1)
      put(`ratio ${cell.spread_ratio.toFixed(2)} of ${cell.odd_setup}`, {
        ...cell,
        spread_ratio: 1,
      });
    else put(whose + how, cell);
  }
  return [
    row("spread of it to others", SPREAD_RATIOS.map(String)),
    ...[...rows].map(([label, own]) =>
      row(
        label,
        SPREAD_RATIOS.map((ratio) => own.get(ratio) ?? ""),
      ),
    ),
  ];
}

function isDriftOnly(cell: CalibrationCell): boolean {
  return cell.setup_learning_spreads === 0 && cell.mistakes === 0;
}

/** Rows of cells that differ in the effect alone, for those simulated with every effect. */
function effectTable(
  cells: readonly CalibrationCell[],
  told: (cell: CalibrationCell) => string,
): readonly string[] {
  const rows = new Map<string, CalibrationCell[]>();
  for (const cell of cells) {
    const label = labelOf(cell);
    rows.set(label, [...(rows.get(label) ?? []), cell]);
  }
  return [
    row("difference", EFFECTS.map(String)),
    ...[...rows]
      .filter(([, own]) => own.length === EFFECTS.length)
      .map(([label, own]) => row(label, own.map(told))),
  ];
}

function labelOf(
  cell: CalibrationCell & Partial<Pick<CellBeside, "ground_marked" | "ending">>,
): string {
  const parts = [
    cell.ending === "clock" && "end by the clock",
    cell.drift !== "none" &&
      (cell.ground_marked === true ? `${cell.drift}, marked` : `drift ${cell.drift}`),
    cell.spread_ratio !== 1 && `spread ratio ${String(cell.spread_ratio)}`,
    cell.setup_learning_spreads !== 0 && `getting used ${String(cell.setup_learning_spreads)}`,
    cell.mistakes !== 0 && `mistakes ${(100 * cell.mistakes).toFixed(0)} %`,
  ].filter((part) => part !== false);
  return parts.length === 0 ? "drift none" : parts.join(", ");
}

function forecastLines({ plan, forecast }: Calibration): readonly string[] {
  const runs = [...new Set(forecast.map((f) => f.at_run))];
  return runs.flatMap((atRun) => {
    const named = plan.named_runs.find((n) => n.at_run === atRun);
    return [
      "",
      `Chance of a verdict within the plan, said after run ${String(atRun)} of ${String(plan.runs)} (drift none, all differences alike)`,
      row("said, %", ["came, %", "days"]),
      ...forecast
        .filter((f) => f.at_run === atRun)
        .map((f) => row(percent(f.predicted), [counted(f.observed, f.days), String(f.days)])),
      ...(named === undefined
        ? []
        : [
            `"About so many more runs": the verdict had come by then on ${percent(named.came_true)} % of ${String(named.days)} days`,
          ]),
    ];
  });
}

function row(label: string, columns: readonly string[]): string {
  return `${label.padEnd(LABEL)}${columns.map((text) => text.padStart(COLUMN)).join("")}`.trimEnd();
}

function percent(share: number): string {
  return (100 * share).toFixed(1);
}

/** A share counted over so many days, with its simulation error. */
function counted(share: number, days: number): string {
  return `${percent(share)} +-${percent(shareError(share, days))}`;
}
