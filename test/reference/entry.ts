// One published case from test/reference/data; called by the tests that are held against it.
import { readFileSync } from "node:fs";

export interface ReferenceEntry {
  readonly id: string;
  readonly inputs: Readonly<Record<string, unknown>>;
  readonly expected: Readonly<Record<string, unknown>>;
}

/** @throws {RangeError} if the file has no such entry */
export function referenceEntry(file: string, id: string): ReferenceEntry {
  const url = new URL(`./data/${file}`, import.meta.url);
  const all = JSON.parse(readFileSync(url, "utf8")) as { entries: ReferenceEntry[] };
  const found = all.entries.find((entry) => entry.id === id);
  if (found === undefined) throw new RangeError(`${file} has no entry ${id}`);
  return found;
}
