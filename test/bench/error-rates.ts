// `npm run error-rates [-- --days N] [-- --keep DIR]`: rides the days of many plans through the built
// program and prints the table of its error rates that DEVELOPERS.md shows. Hours of work at the
// default; `--keep` keeps each plan's answer in a folder and goes on from there.
import { parseArgs } from "node:util";
import type { Calibration, CalibrationCell } from "../../src/calibrate/calibration.ts";
import { calibrations, markdownTable as table } from "./kept-calibration.ts";

const { values } = parseArgs({
  options: {
    days: { type: "string", default: "2000" },
    keep: { type: "string" },
    threads: { type: "string" },
  },
});
const DAYS = Number(values.days);
const ask = calibrations(values.keep, values.threads);

interface Plan {
  readonly setups: number;
  readonly runs: number;
  readonly riders?: number;
  readonly days?: number;
  /** In spreads. */
  readonly margin?: number;
  readonly drift?: "learning";
  /** The day is about B. */
  readonly isAboutB?: boolean;
}

const ORDERS = ["mirrored", "suggested"] as const;
type Order = (typeof ORDERS)[number];

const PLANS: readonly Plan[] = [
  ...[8, 12, 20, 40].map((runs) => ({ setups: 2, runs })),
  ...[12, 20, 40].map((runs) => ({ setups: 3, runs })),
  ...[20, 40].map((runs) => ({ setups: 4, runs })),
];
const FURTHER: readonly Plan[] = [
  { setups: 2, runs: 20, drift: "learning" },
  { setups: 2, runs: 20, days: 2 },
  { setups: 3, runs: 20, isAboutB: true },
  { setups: 4, runs: 20, isAboutB: true },
];
const CLUB: readonly Plan[] = [
  { setups: 2, runs: 6, riders: 6 },
  { setups: 2, runs: 12, riders: 3 },
  { setups: 3, runs: 12, riders: 4 },
];
const MARGINS: readonly Plan[] = [12, 20, 40].flatMap((runs) =>
  [1, 1.5, 2].map((margin) => ({ setups: 2, runs, margin })),
);

/** An invented plan: a run-to-run spread of one second. */
function sheetOf({ setups, runs, riders = 1, days = 1, margin, drift, isAboutB }: Plan): string {
  const ids = ["A", "B", "C", "D"].slice(0, setups);
  return [
    "[session]",
    'name = "Rear tyre insert"',
    `planned_runs = ${String(runs)}`,
    `days = ${String(days)}`,
    "spread_s = 1.0",
    "seed = 7",
    ...(margin === undefined ? [] : [`margin_s = ${margin.toFixed(2)}`]),
    ...(drift === undefined ? [] : [`drift = "${drift}"`]),
    ...(isAboutB === true ? ['main = "B"'] : []),
    '[[gates]]\nrole = "start"\n[[gates]]\nrole = "finish"',
    ...Array.from({ length: riders }, (_, i) => `[[riders]]\nid = "R${String(i + 1)}"`),
    ...ids.map((id) => `[[setups]]\nid = "${id}"\nbaseline = ${String(id === "A")}`),
    "",
  ].join("\n");
}

function nameOf({ setups, runs, riders = 1, days = 1, margin, drift, isAboutB }: Plan): string {
  return [
    `${String(setups)} set-ups`,
    `${String(runs)} runs`,
    riders > 1 && `of ${String(riders)} riders`,
    days > 1 && `over ${String(days)} days`,
    margin !== undefined && `worth having ${String(margin)}`,
    drift !== undefined && `drift ${drift}`,
    isAboutB === true && "about B",
  ]
    .filter((word) => word !== false)
    .join(", ");
}

function calibrated(
  plan: Plan,
  order: Order,
  kinds: "no-difference" | "difference",
  days: number,
): Calibration {
  return ask({ name: nameOf(plan), sheet: sheetOf(plan), order, kinds, days });
}

type Figure = Pick<CalibrationCell, "called" | "called_se">;

function share({ called, called_se }: Figure): string {
  return `${(100 * called).toFixed(1)} ±${(100 * called_se).toFixed(1)}`;
}

/** The worst of some cells. */
function worst(cells: readonly Figure[]): string {
  const [first, ...rest] = cells;
  if (first === undefined) return "";
  return share(rest.reduce((most, cell) => (cell.called > most.called ? cell : most), first));
}

/** Days a figure: a day of many set-ups and runs takes long, and is far from the limit. */
function daysOf({ setups, runs }: Plan): number {
  if (setups === 2) return 5 * DAYS;
  return runs < 40 ? DAYS : Math.ceil(DAYS / 2);
}

function falseCallRow(plan: Plan, order: Order): readonly string[] {
  const days = daysOf(plan);
  const { cells, beside } = calibrated(plan, order, "no-difference", days);
  const drifts = cells.filter((c) => c.setup_learning_spreads === 0 && c.mistakes === 0);
  const ratio = (wanted: number): string =>
    worst([
      ...drifts.filter((cell) => cell.spread_ratio === wanted),
      ...beside.filter(
        (cell) => cell.ending === "planned" && cell.spread_ratio === wanted && !cell.ground_marked,
      ),
    ]);
  const calmer = beside.filter((cell) => cell.spread_ratio < 1);
  const ending = (wanted: string): string => worst(beside.filter((c) => c.ending === wanted));
  const learning = (size: number): string =>
    worst(cells.filter((cell) => cell.setup_learning_spreads === size));
  return [
    nameOf(plan),
    order,
    ratio(1),
    ratio(2),
    ratio(3),
    worst(calmer),
    ending("announced"),
    ending("overtime"),
    worst(cells.filter((cell) => cell.mistakes > 0)),
    learning(1),
    learning(2),
  ];
}

function powerRow(plan: Plan, order: Order): readonly string[] {
  const { cells } = calibrated(plan, order, "difference", 2 * daysOf(plan));
  const found = cells.map((cell) => `${share(cell)}, ${cell.mean_runs.toFixed(1)}`);
  return [nameOf(plan), order, ...found];
}

/** Classes of the chances that are said. */
const CHANCES = [
  [0, 0.1],
  [0.1, 0.3],
  [0.3, 0.5],
  [0.5, 0.7],
  [0.7, 0.9],
  [0.9, 1.01],
] as const;

function forecastRows(plan: Plan): readonly (readonly string[])[] {
  const { forecast } = calibrated(plan, "suggested", "difference", 2 * daysOf(plan));
  return [...new Set(forecast.map((f) => f.at_run))].map((run) => {
    const own = forecast.filter((f) => f.at_run === run);
    return [
      nameOf(plan),
      String(run),
      ...CHANCES.map(([from, to]) =>
        own
          .filter((f) => f.predicted >= from && f.predicted < to)
          .map((f) => `${(100 * f.predicted).toFixed(0)}: ${(100 * f.observed).toFixed(1)}`)
          .join(),
      ),
    ];
  });
}

function clubRow(plan: Plan): readonly string[] {
  const { cells, beside } = calibrated(plan, "suggested", "no-difference", DAYS);
  const power = calibrated(plan, "suggested", "difference", DAYS);
  const together = (all: readonly CalibrationCell[]): readonly Figure[] =>
    all.flatMap((cell) => cell.together ?? []);
  const ratio = (wanted: number): string =>
    worst(
      together(
        cells.filter((cell) => cell.spread_ratio === wanted && cell.setup_learning_spreads === 0),
      ),
    );
  return [
    nameOf(plan),
    ratio(1),
    ratio(2),
    ratio(3),
    worst(together(beside.filter((cell) => cell.ending !== "planned"))),
    ...together(power.cells).slice(1).map(share),
  ];
}

function marginRow(plan: Plan): readonly string[] {
  const { cells, days } = calibrated(plan, "suggested", "difference", 5 * DAYS);
  const wrong = Math.max(...cells.map((cell) => cell.wrong));
  const se = Math.sqrt((wrong * (1 - wrong)) / days);
  const [none] = cells;
  return [
    nameOf(plan),
    share({ called: wrong, called_se: se }),
    (100 * (none?.no_difference ?? 0)).toFixed(1),
  ];
}

const both = (plans: readonly Plan[], row: (plan: Plan, order: Order) => readonly string[]) =>
  plans.flatMap((plan) => ORDERS.map((order) => row(plan, order)));

const sections = [
  "A difference called, at any look, where there is none: % of days ± simulation error. Each figure is the worst of the seven session drifts and, with three set-ups or more, of the odd set-up being the candidate or the baseline. Spreads: of the odd set-up to the others.",
  table(
    [
      "plan",
      "order",
      "spreads 1",
      "2",
      "3",
      "1/2, 1/3",
      "end announced",
      "overtime",
      "mistakes",
      "getting used 1",
      "2",
    ],
    both([...PLANS, ...FURTHER], falseCallRow),
  ),
  "A difference of so many spreads called, % of days ± simulation error, and counted runs up to the decision or the end.",
  table(["plan", "order", "0", "0.5", "1", "1.5", "2"], both([...PLANS, ...FURTHER], powerRow)),
  "Any wrong verdict, at any look, % of days: the worst of the differences 0, 0.5, 1, 1.5 and 2 spreads; and how often no difference worth having is said where there is none.",
  table(["plan", "wrong", "no difference"], MARGINS.map(marginRow)),
  "Chance of a verdict within the plan, said after so many runs: came, %.",
  table(
    ["plan", "after run", "< 10", "10-30", "30-50", "50-70", "70-90", "> 90"],
    [12, 20, 40].flatMap((runs) => forecastRows({ setups: 2, runs })),
  ),
  "All riders together, riders' spreads differing by a fifth: a difference called where there is none, by spreads; with an end announced or in overtime; and a difference found.",
  table(["plan", "1", "2", "3", "other ends", "0.5", "1", "1.5", "2"], CLUB.map(clubRow)),
];
process.stdout.write(`${sections.join("\n\n")}\n`);
