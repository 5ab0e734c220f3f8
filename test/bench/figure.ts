// One measured figure with its yardstick, and how all of them are printed; used by every bench.

/** The shape of one entry of `npm run bench -- --json`. */
export interface Figure {
  readonly name: string;
  readonly value: number;
  readonly unit: string;
  /** What the yardstick is; null where there is none. */
  readonly against: string | null;
  /** Measured in the same run, in the same unit. */
  readonly against_value: number | null;
  /** value / against_value. */
  readonly ratio: number | null;
}

export interface Yardstick {
  readonly what: string;
  readonly value: number;
}

export function figure(name: string, value: number, unit: string, yardstick?: Yardstick): Figure {
  if (yardstick === undefined) {
    return { name, value, unit, against: null, against_value: null, ratio: null };
  }
  const { what, value: against_value } = yardstick;
  return { name, value, unit, against: what, against_value, ratio: value / against_value };
}

const HEAD = ["figure", "value", "unit", "ratio", "against"] as const;

/** A table for people: figures to three digits, the yardstick behind them. */
export function tableOf(figures: readonly Figure[]): string {
  const rows = [
    [...HEAD],
    ...figures.map((each) => [
      each.name,
      digits(each.value),
      each.unit,
      each.ratio === null ? "" : digits(each.ratio),
      each.against === null ? "" : `${each.against}: ${digits(each.against_value ?? 0)}`,
    ]),
  ];
  const widths = HEAD.map((_, column) =>
    Math.max(...rows.map((row) => (row[column] ?? "").length)),
  );
  const isNumber = (column: number): boolean => column === 1 || column === 3;
  return rows
    .map((row) =>
      row
        .map((cell, column) => {
          const width = widths[column] ?? 0;
          return isNumber(column) ? cell.padStart(width) : cell.padEnd(width);
        })
        .join("  ")
        .trimEnd(),
    )
    .join("\n");
}

function digits(value: number): string {
  return Math.abs(value) >= 100 ? value.toFixed(0) : String(Number(value.toPrecision(3)));
}
