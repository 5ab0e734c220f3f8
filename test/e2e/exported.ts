// What the program says of a session as JSON, read back; used by the end-to-end tests.
import { z } from "zod";
import { run } from "./program.ts";

const runRow = z.object({
  run_id: z.string(),
  rider: z.string(),
  setup: z.string(),
  k: z.number().nullable(),
  started_at: z.string().nullable(),
  time_s: z.number().nullable(),
  uncertainty_s: z.number().nullable(),
  status: z.string(),
  reason: z.string().nullable(),
  timed_by: z.string(),
  provisional: z.number(),
  flags: z.string(),
  note: z.string().nullable(),
});
export type RunRow = z.infer<typeof runRow>;

const rows = z.array(z.record(z.string(), z.union([z.string(), z.number(), z.null()])));
const exported = z.object({
  format: z.literal("swaplap-session"),
  tables: z.record(z.string(), rows),
});
export type Row = z.infer<typeof rows>[number];

const pair = z.object({
  setup: z.string(),
  baseline: z.string(),
  runs: z.number(),
  baseline_runs: z.number(),
  difference_s: z.number().nullable(),
  band_s: z.tuple([z.number(), z.number()]).nullable(),
  verdict: z.string(),
});
const comparison = z.looseObject({
  riders: z.array(
    z.looseObject({
      counted_runs: z.number(),
      parts: z.array(z.object({ name: z.string().nullable(), pairs: z.array(pair.loose()) })),
    }),
  ),
});

/** Standard output of a command as JSON: it must be one document and nothing else. */
export async function jsonOf(folder: string, ...args: readonly string[]): Promise<unknown> {
  const { code, out, err } = await run(folder, ...args);
  if (code !== 0) throw new Error(`${args.join(" ")} ended with ${String(code)}: ${err}`);
  return JSON.parse(out);
}

/** One of the derived tables. */
export async function rowsOf(folder: string, file: string, table: string): Promise<readonly Row[]> {
  const { tables } = exported.parse(await jsonOf(folder, "export", file, "--json", "-"));
  return tables[table] ?? [];
}

export async function runsOf(folder: string, file: string): Promise<readonly RunRow[]> {
  return z.array(runRow).parse(await rowsOf(folder, file, "run"));
}

export async function comparisonOf(
  folder: string,
  file: string,
  ...more: readonly string[]
): Promise<z.infer<typeof comparison>> {
  return comparison.parse(await jsonOf(folder, "compare", file, "--json", ...more));
}
