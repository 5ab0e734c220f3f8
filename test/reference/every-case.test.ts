// Whether every case of the reference data is held against something: each name must stand in a
// test, or stand here with the reason why it can't.
import { readdirSync, readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { readData } from "./cases.ts";

const HERE = new URL("./", import.meta.url);

/** The tests that read the data, this one left out. */
function sources(): string {
  const folders = [
    HERE,
    ...["advisor", "clock", "explore", "protocol"].map((f) => new URL(`../${f}/`, HERE)),
  ];
  return folders
    .flatMap((folder) =>
      readdirSync(folder)
        .filter((name) => name.endsWith(".test.ts") && name !== "every-case.test.ts")
        .map((name) => readFileSync(new URL(name, folder), "utf8")),
    )
    .join("\n");
}
const TESTS = sources();

/** Whether a test names the case, or its kind as a prefix that a test goes through whole. */
function isNamed(name: string, kinds: readonly string[]): boolean {
  if (TESTS.includes(`"${name}"`) || TESTS.includes(`: ${name}"`)) return true;
  return kinds.some((kind) => name.startsWith(kind) && TESTS.includes(`"${kind}"`));
}

/** Names of a file's cases, whichever of its three forms it has. */
function namesOf(file: string): readonly string[] {
  const data = readData(file);
  if (Array.isArray(data)) return (data as readonly { name: string }[]).map(({ name }) => name);
  const { fixtures, entries, cases } = data as {
    readonly fixtures?: readonly { name: string }[];
    readonly entries?: readonly { id: string }[];
    readonly cases?: readonly { id: string }[];
  };
  return fixtures?.map(({ name }) => name) ?? (entries ?? cases ?? []).map(({ id }) => id);
}

const NOT_DONE_HERE = "the program does no such thing";

/** What is held in the files but against nothing, and why. */
const LEFT_OUT: Readonly<Record<string, string>> = {
  "min-p-permutation": NOT_DONE_HERE,
};

/** Files whose every case some test goes through, and says how many there are. */
const WHOLE: Readonly<Record<string, string>> = {
  "01_nist_strd_univariate.json": "covers all nine sets",
  "02_nist_strd_anova.json": "covers all five sets",
  "03_nist_strd_linear.json": "covers all eleven sets",
  "spread.json": "has all thirteen cases",
};

/** Kinds that tests go through by the start of the name. */
const KINDS: Readonly<Record<string, readonly string[]>> = {
  "planning.json": [
    "order-variance-",
    "naive-bias-linear-",
    "suggest-",
    "chance-of-call-",
    "mdd-",
    "noncentral-t-cdf-",
    "runs-needed-",
    "sigma-interval-",
    "minutes-",
    "mirror-order",
    "rule-order-",
  ],
};

describe("every reference case is held against something", () => {
  it.each(Object.entries(WHOLE))("%s: goes through them all", (_, title) => {
    expect(TESTS).toContain(title);
  });

  it.each([
    ["04_critical_values.json", 15],
    ["05_power_sample_size.json", 9],
    ["06_paired_crossover_blocks.json", 13],
    ["07_mixed_models_meta.json", 6],
    ["08_sequential.json", 10],
    ["10_measurement_uncertainty.json", 9],
    ["12_design_of_experiments.json", 7],
    ["statistics.json", 33],
    ["bands.json", 16],
    ["planning.json", 64],
  ])("%s: %i cases, each in a test or left out for a reason", (file, count) => {
    const names = namesOf(file);
    expect(names).toHaveLength(count);
    const missing = names.filter(
      (name) => !isNamed(name, KINDS[file] ?? []) && LEFT_OUT[name] === undefined,
    );
    expect(missing).toEqual([]);
  });

  it("leaves nothing out that is not there", () => {
    const all = ["04_critical_values.json", "planning.json"].flatMap(namesOf);
    for (const name of Object.keys(LEFT_OUT)) expect(all).toContain(name);
  });
});
