// Picks out entries of certain types, so that the switch that follows names every one of them.
import type { EntryType } from "../journal/content.ts";
import type { Entry } from "../journal/entry.ts";

/** An entry of one of these types. */
export type EntryOf<T extends EntryType> = Extract<Entry, { readonly type: T }>;

/** True if the entry is of one of the types listed. */
export function entryIs<T extends EntryType>(
  entry: Entry,
  types: readonly T[],
): entry is EntryOf<T> {
  const names: readonly string[] = types;
  return names.includes(entry.type);
}
