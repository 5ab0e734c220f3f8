// The answer in words and columns; called by the command line.
import { type Calibration, type CalibrationCell, shareError } from "./calibration.ts";
import { EFFECTS, SPREAD_RATIOS } from "./cell.ts";

/** One line each, every share with its simulation error. */
export function calibrationLines(calibration: Calibration): readonly string[] {
  const { plan, days, seed, cells } = calibration;
  const margin = plan.margin_s === null ? "no margin" : `margin ${plan.margin_s.toFixed(2)} s`;
  return [
    `Set-ups ${plan.setups.join(" ")}, ${String(plan.runs)} counted runs, order ${plan.order}, ` +
      `session drift in the model: ${plan.drift}, ${plan.bands} band, ` +
      `confidence ${String(plan.confidence)}, ${margin}.`,
    `${String(days)} days a figure, seed ${String(seed)}. Sizes in run-to-run spreads (${plan.spread_s.toFixed(2)} s).`,
    ...plan.notes.map((note) => `Note: ${note}.`),
    "",
    "No difference there: days on which one is called, at any look, % (+- simulation error)",
    ...falseCalls(cells, days),
    "",
    `${plan.candidate} differs: days on which a difference is called, %, and runs up to the decision or the end`,
    ...effectTable(
      cells,
      (cell) => `${counted(cell.called, days)}${cell.mean_runs.toFixed(1).padStart(5)}`,
    ),
    "",
    "Days with a wrong verdict, at any look, %",
    ...effectTable(cells, (cell) => counted(cell.wrong, days)),
    ...(plan.margin_s === null
      ? []
      : [
          "",
          "Days with no difference worth having, at any look, %",
          ...effectTable(cells, (cell) => counted(cell.no_difference, days)),
        ]),
    ...forecastLines(calibration),
  ];
}

const LABEL = 22;
const COLUMN = 17;

function falseCalls(cells: readonly CalibrationCell[], days: number): readonly string[] {
  const none = cells.filter((cell) => cell.effect_spreads === 0);
  const told = (cell: CalibrationCell | undefined): string =>
    cell === undefined ? "" : counted(cell.called, days);
  const drifts = [...new Set(none.map((cell) => cell.drift))];
  return [
    row("spread of it to others", SPREAD_RATIOS.map(String)),
    ...drifts.map((drift) =>
      row(
        `drift ${drift}`,
        SPREAD_RATIOS.map((ratio) =>
          told(
            none.find(
              (cell) => isDriftOnly(cell) && cell.drift === drift && cell.spread_ratio === ratio,
            ),
          ),
        ),
      ),
    ),
    ...none.filter((cell) => !isDriftOnly(cell)).map((cell) => row(labelOf(cell), [told(cell)])),
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

function labelOf(cell: CalibrationCell): string {
  const parts = [
    cell.drift !== "none" && `drift ${cell.drift}`,
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
