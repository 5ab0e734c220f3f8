// Reads entries of lists and vectors that are there by construction; called by every fit. A missing
// one is a bug and must not become a number.

/**
 * Entry of a vector. Of its own, for Float64Array alone, so that the inner loops stay fast.
 *
 * @throws {RangeError} if there is none
 */
export function entry(vector: Float64Array, index: number): number {
  const value = vector[index];
  if (value === undefined) throw new RangeError(`a vector has no entry ${String(index)}`);
  return value;
}

/**
 * Item of a list.
 *
 * @throws {RangeError} if there is none
 */
export function item<T>(list: readonly T[], index: number): T {
  const value = list[index];
  if (value === undefined) throw new RangeError(`a list has no item ${String(index)}`);
  return value;
}

/** Adds to an item of a list of sums. */
export function addTo(sums: number[], index: number, value: number): void {
  sums[index] = item(sums, index) + value;
}
