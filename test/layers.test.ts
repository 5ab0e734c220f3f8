import { execFileSync } from "node:child_process";
import { readdirSync } from "node:fs";
import { expect, test } from "vitest";

interface Cruise {
  readonly summary: { readonly error: number };
  readonly modules: readonly { readonly source: string }[];
}

/**
 * Runs the layering check and makes sure that it looked. A checker that cannot read TypeScript
 * reports success over nothing, so the number of files seen is part of the test.
 */
test("every source file obeys the layering rule", { timeout: 120_000 }, () => {
  const out = execFileSync(
    "npx",
    ["depcruise", "--config", ".config/dependency-cruiser.cjs", "src", "--output-type", "json"],
    { encoding: "utf8", maxBuffer: 64 * 1024 * 1024 },
  );
  const { summary, modules } = JSON.parse(out) as Cruise;
  const seen = modules.filter((module) => module.source.startsWith("src/")).length;
  expect(summary.error).toBe(0);
  const files = readdirSync("src", { recursive: true, encoding: "utf8" });
  expect(seen).toBe(files.filter((file) => /\.tsx?$/.test(file)).length);
});
