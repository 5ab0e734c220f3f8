// `npm run order-rates [-- --days N] [-- --keep DIR] [-- --setups 2,3]`: whole days with one set-up
// quicker than all others, ridden in four orders, through the built program; prints the tables that
// DEVELOPERS.md shows. Minutes of work at the default; `--keep` keeps each plan's answer in a folder
// and goes on from there.
import { parseArgs } from "node:util";
import { type CalibrationCell, shareError } from "../../src/calibrate/calibration.ts";
import type { OrderKind } from "../../src/calibrate/order.ts";
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
const ORDERS: readonly OrderKind[] = ["in-turn", "mirrored", "random-passes", "suggested"];
const SWAP_MINUTES = [0.5, 10] as const;

interface Plan {
  readonly setups: number;
  readonly swapMinutes: number;
  readonly spreads?: "common";
  /** Planned; at the most. */
  readonly runs?: number;
  readonly minutes?: number;
}

/** An invented plan: three hours of eight-minute laps, twenty runs at the most. */
function sheetOf({ setups, swapMinutes, spreads, runs = 20, minutes = 180 }: Plan): string {
  const ids = ["A", "B", "C", "D"].slice(0, setups);
  return [
    "[session]",
    'name = "Rear tyre insert"',
    `planned_runs = ${String(runs)}`,
    "lap_minutes = 8",
    `minutes = ${String(minutes)}`,
    "spread_s = 1.0",
    `spreads = "${spreads ?? "each"}"`,
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
  const { setups, swapMinutes, spreads = "each", runs, minutes } = plan;
  const longer = runs === undefined ? "" : `, ${String(runs)} runs in ${String(minutes)} min`;
  const name = `${String(setups)} set-ups, swap ${String(swapMinutes)} min, ${spreads}${longer}`;
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
const plans: readonly Plan[] = counts.flatMap((setups) =>
  SWAP_MINUTES.map((swapMinutes) => ({ setups, swapMinutes })),
);
const several = plans.filter(({ setups }) => setups > 2);
const LONGER: readonly Plan[] = [
  { setups: 3, swapMinutes: 10, runs: 24, minutes: 330 },
  { setups: 4, swapMinutes: 10, runs: 40, minutes: 480 },
].filter(({ setups }) => counts.includes(setups));

/** A table and what stands above it; nothing of plans that were not asked for. */
function section(words: string, of: readonly Plan[], ending: Ending): readonly string[] {
  const head = ["set-ups", "swap, min", "difference", ...ORDERS];
  if (of.length === 0) return [];
  return [
    words,
    markdownTable(
      head,
      of.flatMap((plan) => rows(plan, ending)),
    ),
  ];
}

const sections = [
  section(
    `Days on which the quickest set-up is found, called quicker than every other, % ± simulation error / days decided for another, or where none is quicker, % / minutes and swaps up to the decision or the end. ${String(DAYS)} days a figure: laps of 8 minutes, three hours, 20 runs planned, one set-up (each in turn) quicker than all others by so many run-to-run spreads, drift 1.5 exp(-(k-1)/4) + 0.04 k + a random walk of 0.1 spreads. Where the time is too short for the plan, its end is announced by the clock, once, in time, in every order alike.`,
    plans,
    "clock",
  ),
  section(
    "The same days, nobody announcing the end that the clock gives: the plan's last word is spoken only where all 20 runs are ridden.",
    plans,
    "planned",
  ),
  section(
    'With `spreads = "common"`, three set-ups and more, the end announced.',
    several.map((plan) => ({ ...plan, spreads: "common" })),
    "clock",
  ),
  section(
    "Longer days, the end announced: three set-ups with 24 runs planned in five hours and a half, four with 40 in eight.",
    LONGER,
    "clock",
  ),
].flat();
process.stdout.write(`${sections.join("\n\n")}\n`);
