// `npm run order-rates [-- --days N] [-- --keep DIR] [-- --setups 2,3]`: whole days with one set-up
// quicker than all others, ridden in four orders, through the built program; prints the tables that
// DEVELOPERS.md shows. Minutes of work at the default; `--keep` keeps each plan's answer in a folder
// and goes on from there.
import { parseArgs } from "node:util";
import { type CalibrationCell, shareError } from "../../src/calibrate/calibration.ts";
import { ORDER_KINDS, type OrderKind } from "../../src/calibrate/order.ts";
import { calibrations, markdownTable } from "./kept-calibration.ts";

const { values } = parseArgs({
  options: {
    days: { type: "string", default: "4000" },
    keep: { type: "string" },
    setups: { type: "string", default: "2,3,4" },
    threads: { type: "string" },
  },
});
const DAYS = Number(values.days);
const ask = calibrations(values.keep, values.threads);

/** The suggestion last, beside what it is to beat. */
const ORDERS: readonly OrderKind[] = [
  ...ORDER_KINDS.filter((order) => order !== "suggested").toReversed(),
  "suggested",
];
const SWAP_MINUTES = [0.5, 10] as const;

interface Plan {
  readonly setups: number;
  readonly swapMinutes: number;
  readonly spreads: "each" | "common";
}

/** An invented plan: three hours of eight-minute laps, twenty runs at the most. */
function sheetOf({ setups, swapMinutes, spreads }: Plan): string {
  const ids = ["A", "B", "C", "D"].slice(0, setups);
  return [
    "[session]",
    'name = "Rear tyre insert"',
    "planned_runs = 20",
    "lap_minutes = 8",
    "minutes = 180",
    "spread_s = 1.0",
    `spreads = "${spreads}"`,
    "seed = 7",
    '[[gates]]\nrole = "start"\n[[gates]]\nrole = "finish"',
    '[[riders]]\nid = "R1"',
    ...ids.map((id) => `[[setups]]\nid = "${id}"\nbaseline = ${String(id === "A")}`),
    ...ids.flatMap((from, i) =>
      ids
        .slice(i + 1)
        .map(
          (to) => `[[swaps]]\nfrom = "${from}"\nto = "${to}"\nminutes = ${swapMinutes.toFixed(1)}`,
        ),
    ),
    "",
  ].join("\n");
}

/** Cells of a plan in an order, one a difference. */
function cellsOf(plan: Plan, order: OrderKind, ending: Ending): readonly CalibrationCell[] {
  const { setups, swapMinutes, spreads } = plan;
  const name = `${String(setups)} set-ups, swap ${String(swapMinutes)} min, ${spreads}`;
  const { cells, beside } = ask({ name, sheet: sheetOf(plan), order, kinds: "best", days: DAYS });
  return ending === "planned" ? cells : beside.filter((cell) => cell.ending === ending);
}

type Ending = "clock" | "planned";

/** Found, wrong, minutes, swaps; where there is nothing to find every decision is wrong. */
function figures(cell: CalibrationCell | undefined): string {
  if (cell === undefined) return "";
  const { effect_spreads, decided, decided_wrong, mean_minutes, mean_swaps } = cell;
  const percent = (share: number): string => (100 * share).toFixed(1);
  const counted = (share: number): string =>
    `${percent(share)} ±${percent(shareError(share, DAYS))}`;
  const shares =
    effect_spreads === 0
      ? ["-", counted(decided_wrong)]
      : [counted(decided), percent(decided_wrong)];
  return [...shares, mean_minutes?.toFixed(0) ?? "-", mean_swaps.toFixed(1)].join(" / ");
}

function rows(plan: Plan, ending: Ending): readonly (readonly string[])[] {
  const columns = ORDERS.map((order) => cellsOf(plan, order, ending));
  const differences = columns[0]?.map((cell) => cell.effect_spreads) ?? [];
  return differences.map((difference, i) => [
    String(plan.setups),
    String(plan.swapMinutes),
    String(difference),
    ...columns.map((cells) => figures(cells[i])),
  ]);
}

const counts = values.setups.split(",").map(Number);
const plansOf = (spreads: Plan["spreads"], from: number): readonly Plan[] =>
  counts
    .filter((setups) => setups >= from)
    .flatMap((setups) => SWAP_MINUTES.map((swapMinutes) => ({ setups, swapMinutes, spreads })));
const HEAD = ["set-ups", "swap, min", "difference", ...ORDERS];
const tableOf = (plans: readonly Plan[], ending: Ending): string =>
  markdownTable(
    HEAD,
    plans.flatMap((plan) => rows(plan, ending)),
  );

const sections = [
  `Days on which the quickest set-up is found, called quicker than every other, % ± simulation error / days decided for another, or where none is quicker, % / minutes and swaps up to the decision or the end. ${String(DAYS)} days a figure: laps of 8 minutes, three hours, 20 runs planned, one set-up (each in turn) quicker than all others by so many run-to-run spreads, drift 1.5 exp(-(k-1)/4) + 0.04 k + a random walk of 0.1 spreads. Where the time is too short for the plan, its end is announced by the clock, once, in time, in every order alike.`,
  tableOf(plansOf("each", 2), "clock"),
  "The same days, nobody announcing the end that the clock gives: the plan's last word is spoken only where all 20 runs are ridden.",
  tableOf(plansOf("each", 2), "planned"),
  'With `spreads = "common"`, three set-ups and more, the end announced.',
  tableOf(plansOf("common", 3), "clock"),
];
process.stdout.write(`${sections.join("\n\n")}\n`);
