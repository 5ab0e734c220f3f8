// Published examples of RFC 3339 and RFC 4180, from data/rfc-examples.json.
import { readFileSync } from "node:fs";
import { z } from "zod";

const schema = z.object({
  entries: z.array(
    z.object({
      id: z.string(),
      inputs: z.object({
        text: z.array(z.string()).optional(),
        rows: z.array(z.array(z.string())).optional(),
      }),
      expected: z.object({
        posix_seconds: z.array(z.number()).optional(),
        valid: z.array(z.boolean()).optional(),
        records: z.array(z.array(z.array(z.string()))).optional(),
        text: z.string().optional(),
      }),
    }),
  ),
});

const { entries } = schema.parse(
  JSON.parse(readFileSync(new URL("data/rfc-examples.json", import.meta.url), "utf8")),
);

/** The example of that id; throws if there is none. */
export function exampleOf(id: string): (typeof entries)[number] {
  const entry = entries.find((e) => e.id === id);
  if (entry === undefined) throw new Error(`no example ${id}`);
  return entry;
}
