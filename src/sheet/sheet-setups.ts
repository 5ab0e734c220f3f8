// The set-ups of a session sheet with their values; used by the sheet reader.
import type { Setup } from "../domain/session.ts";
import { isNumberValue, unitOfValue } from "../domain/setup-values.ts";
import { unprintable } from "./quote.ts";
import { readId, setupWanted } from "./sheet-course.ts";
import {
  booleanOf,
  checkKeys,
  keyText,
  noteFault,
  numberOf,
  type SheetTable,
  shown,
  tableOf,
  textFault,
  textOf,
} from "./sheet-table.ts";

type SetupValues = Setup["values"];
type SetupValue = SetupValues[string];

interface OwnSetup {
  readonly table: SheetTable;
  readonly id: string;
  readonly name: string;
  readonly baseline: boolean;
  readonly from: string | null;
  readonly own: ReadonlyMap<string, SetupValue>;
  readonly cost: Pick<Setup, "worthS" | "price" | "weightKg">;
}

/**
 * Reads [[setups]]: at least two, exactly one baseline (the first if none is named); where settings
 * are explored the present one alone.
 */
export function readSetups(root: SheetTable, tables: readonly SheetTable[]): readonly Setup[] {
  const taken = new Set<string>();
  const read = tables.map((table) => readOne(table, taken));
  const isExploring = root.values.has("settings");
  if (isExploring && read.length > 1) {
    noteFault(
      root,
      "setups",
      `${String(read.length)} [[setups]] with [[settings]]`,
      "one set-up, as it is at present: the values to try make the others",
    );
  }
  if (
    read.length < (isExploring ? 1 : 2) &&
    (Array.isArray(root.values.get("setups")) || !root.values.has("setups"))
  ) {
    noteFault(
      root,
      read.length === 0 ? null : "setups",
      read.length === 0 ? "no [[setups]]" : "one [[setups]] only",
      "at least two [[setups]]: a baseline and one to compare with it",
    );
  }
  const baselines = read.filter((s) => s.baseline);
  for (const extra of baselines.slice(1)) {
    noteFault(
      extra.table,
      "baseline",
      `baseline = true on ${extra.id}, as on ${baselines[0]?.id ?? ""}`,
      "one baseline",
    );
  }
  const baseline = baselines[0] ?? read[0];
  const byId = new Map(read.map((s) => [s.id, s]));
  return read.map((setup) => ({
    id: setup.id,
    name: setup.name,
    baseline: setup === baseline,
    values: Object.fromEntries(resolved(setup, byId)),
    ...setup.cost,
  }));
}

function readOne(table: SheetTable, taken: Set<string>): OwnSetup {
  checkKeys(
    table,
    ["id", "name", "baseline", "from", "values", "worth_s", "price", "weight_kg"],
    (key) => (isNumberValue(key) ? `it under [setups.values]` : null),
  );
  const id = readId(table, taken, "A");
  const from = table.values.get("from");
  if (from !== undefined && typeof from !== "string") {
    noteFault(table, "from", `from = ${shown(from)}`, "the id of another set-up in quotes");
  }
  const values = tableOf(table, "values", "[setups.values]");
  return {
    table,
    id,
    name: textOf(table, "name") ?? id,
    baseline: booleanOf(table, "baseline") ?? false,
    from: typeof from === "string" ? from : null,
    own: values === null ? new Map<string, SetupValue>() : readValues(values),
    cost: {
      worthS: numberOf(table, "worth_s", { above: 0, max: 86_400, unit: "seconds" }),
      price: numberOf(table, "price", { min: 0, max: 1e6 }),
      weightKg: numberOf(table, "weight_kg", { above: 0, max: 1000, unit: "kg" }),
    },
  };
}

/** Known keys hold numbers in the unit of their name, all others free text. */
function readValues(table: SheetTable): ReadonlyMap<string, SetupValue> {
  const read = new Map<string, SetupValue>();
  for (const [key, value] of table.values) {
    const wantedKey = setupKeyFault(key);
    if (wantedKey !== null) {
      noteFault(table, key, `the key ${keyText(key)}`, wantedKey);
      continue;
    }
    const want = setupValueFault(key, value);
    if (want !== null) noteFault(table, key, `${keyText(key)} = ${shown(value)}`, want);
    else if (typeof value === "number") read.set(key, value + 0);
    else if (typeof value === "string" || typeof value === "boolean") read.set(key, value);
  }
  return read;
}

/** What would do instead of a key of a set-up sheet; null if it does. */
export function setupKeyFault(key: string): string | null {
  const isKey = key.trim() !== "" && key.length <= 60 && key !== "__proto__";
  return isKey && !unprintable.test(key) ? null : "1 to 60 characters without control characters";
}

/** What would do instead of a value of a set-up sheet; null if it does. */
export function setupValueFault(key: string, value: unknown): string | null {
  if (isNumberValue(key)) {
    const unit = unitOfValue(key);
    const isSigned = unit === "deg";
    if (typeof value === "number" && Math.abs(value) < 1e6 && (isSigned || value >= 0)) return null;
    return `a number${unit === null ? "" : ` in ${unit}`}${isSigned ? "" : ", 0 or more"}`;
  }
  if (typeof value === "boolean") return null;
  if (typeof value === "number") {
    return Math.abs(value) <= Number.MAX_SAFE_INTEGER
      ? null
      : "a number of a size that can be kept";
  }
  if (typeof value === "string") return textFault(value);
  return "text in quotes, a number, true or false";
}

/** Own values over those of the set-up copied from, however long the chain. */
function resolved(
  setup: OwnSetup,
  byId: ReadonlyMap<string, OwnSetup>,
): ReadonlyMap<string, SetupValue> {
  const chain = [setup];
  for (let last = setup; last.from !== null; ) {
    const next = byId.get(last.from);
    if (next === undefined) {
      if (last === setup) {
        const others = [...byId.keys()].filter((id) => id !== setup.id && id !== "");
        noteFault(
          setup.table,
          "from",
          `from = ${shown(setup.from)}`,
          setupWanted(setup.from, others),
        );
      }
      break;
    }
    if (chain.includes(next)) {
      if (next === setup) {
        const round = [...chain, next].map((s) => s.id).join(" from ");
        noteFault(
          setup.table,
          "from",
          `a copy that goes round in a circle: ${round}`,
          "one of them without from",
        );
      }
      break;
    }
    chain.push(next);
    last = next;
  }
  return new Map(chain.reverse().flatMap((s) => [...s.own]));
}
