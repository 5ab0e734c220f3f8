// One row of the journal: what was said, when, by whom. Read and written by store, folded by session.
import { z } from "zod";
import type { Result } from "../domain/errors.ts";
import type { HostUs } from "../domain/time.ts";
import { bodies, type Content, isEntryType } from "./content.ts";

/** Version in which every type is written today; older ones are raised on reading. */
export const ENTRY_VERSION = 1;

/** When, where and by whom an entry was written. */
interface Stamp {
  /** Wall clock, microseconds since 1970 UTC. */
  readonly atUs: number;
  /** Monotonic clock, comparable within one `host`. */
  readonly monoUs: HostUs;
  /** One boot of one laptop. */
  readonly host: string;
  /** One process: `recorder`, `console`, `import`, with its pid. */
  readonly writer: string;
  /** The person, or `box` for what came from outside. */
  readonly who: string;
}

export type Draft = Content & Stamp;
export type Entry = Draft & { readonly seq: number; readonly version: number };

/**
 * Makes an entry's content from what a row holds, raising old versions.
 *
 * @returns the content, or in words why this row cannot be read
 */
export function parseContent(
  type: string,
  version: number,
  body: unknown,
): Result<Content, string> {
  if (!isEntryType(type)) return { ok: false, error: `unknown type "${type}"` };
  if (version > ENTRY_VERSION) {
    return { ok: false, error: `${type} in version ${String(version)}, newer than this program` };
  }
  const parsed = bodies[type].safeParse(body);
  if (!parsed.success) return { ok: false, error: `${type}: ${z.prettifyError(parsed.error)}` };
  // The schema was chosen by the type, so type and body belong together.
  return { ok: true, value: { type, body: parsed.data } as Content };
}
