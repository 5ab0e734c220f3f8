// Published cases from test/reference/data; called by the tests that are held against them.
import { readFileSync } from "node:fs";

/**
 * A published case. `expected` is as printed, usually rounded; `checked_with` holds all digits of
 * the program that recomputed it.
 */
export interface ReferenceEntry<
  I = Readonly<Record<string, unknown>>,
  E = Readonly<Record<string, unknown>>,
  C = E,
> {
  readonly id: string;
  readonly inputs: I;
  readonly expected: E;
  readonly tolerance: Readonly<Record<string, unknown>>;
  readonly checked_with: { readonly values: C };
}

/** All entries of a file; the caller states their shape. */
export function referenceEntries<I, E, C = E>(file: string): readonly ReferenceEntry<I, E, C>[] {
  const url = new URL(`./data/${file}`, import.meta.url);
  return (JSON.parse(readFileSync(url, "utf8")) as { entries: ReferenceEntry<I, E, C>[] }).entries;
}

/** @throws {RangeError} if the file has no such entry */
export function referenceEntry<
  I = Readonly<Record<string, unknown>>,
  E = Readonly<Record<string, unknown>>,
  C = E,
>(file: string, id: string): ReferenceEntry<I, E, C> {
  const found = referenceEntries<I, E, C>(file).find((entry) => entry.id === id);
  if (found === undefined) throw new RangeError(`${file} has no entry ${id}`);
  return found;
}
