// Lists that grow by one without being copied, though no holder ever sees another's items; the fold
// keeps its evidence in them.

/**
 * A list that never changes for whoever holds it. All versions grown from one another share one
 * array; each sees only its own length, and growing an old version copies.
 */
export interface Growing<T> {
  readonly shared: T[];
  readonly length: number;
}

/** An empty list. */
export function nothingYet<T>(): Growing<T> {
  return { shared: [], length: 0 };
}

/** The list with one more item at its end. */
export function grown<T>(list: Growing<T>, item: T): Growing<T> {
  const shared = list.shared.length === list.length ? list.shared : itemsOf(list).slice();
  shared.push(item);
  return { shared, length: shared.length };
}

/** The items, oldest first; not to be kept beyond this version of the list. */
export function itemsOf<T>(list: Growing<T>): readonly T[] {
  return list.shared.length === list.length ? list.shared : list.shared.slice(0, list.length);
}

/** A list whose items can be found by a number. */
export interface Indexed<T> {
  readonly list: Growing<T>;
  /** Number to place; shared like the list, so a place beyond the length isn't in this version. */
  readonly places: Map<number, number>;
}

/** An empty list with an index. */
export function nothingIndexed<T>(): Indexed<T> {
  return { list: nothingYet(), places: new Map() };
}

/** The item with that number, in this version. */
export function found<T>(indexed: Indexed<T>, key: number): T | undefined {
  const place = indexed.places.get(key);
  return place === undefined || place >= indexed.list.length
    ? undefined
    : indexed.list.shared[place];
}

/** The list with one more item under a number that is not in it. */
export function indexed<T>(before: Indexed<T>, key: number, item: T): Indexed<T> {
  const list = grown(before.list, item);
  const isShared = list.shared === before.list.shared;
  const places = isShared
    ? before.places
    : new Map([...before.places].filter(([, place]) => place < before.list.length));
  places.set(key, list.length - 1);
  return { list, places };
}
