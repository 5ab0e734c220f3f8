// The known word that a mistyped one most likely stands for; used in messages only.

/**
 * Changes (insert, delete, replace, swap neighbours) that turn one word into another.
 *
 * @see Damerau (1964), Communications of the ACM 7(3), 171-176; here without editing a swapped
 *   pair again ("optimal string alignment")
 */
export function wordDistance(a: string, b: string): number {
  let before: number[] = [];
  let last: number[] = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i += 1) {
    const row = [i];
    for (let j = 1; j <= b.length; j += 1) {
      const same = a[i - 1] === b[j - 1] ? 0 : 1;
      let best = Math.min((last[j] ?? 0) + 1, (row[j - 1] ?? 0) + 1, (last[j - 1] ?? 0) + same);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        best = Math.min(best, (before[j - 2] ?? 0) + 1);
      }
      row.push(best);
    }
    before = last;
    last = row;
  }
  return last[b.length] ?? 0;
}

/**
 * The nearest of the known words, if it is near enough to be meant.
 *
 * @returns null if nothing lies within a third of the word's length (at least 2 changes)
 */
export function nearestWord(word: string, known: readonly string[]): string | null {
  if (word.length > 64) return null;
  const small = word.toLowerCase();
  let found: string | null = null;
  // chosen: a third of the letters wrong still reads as a slip; "an unknown key" in the tests
  // notices a limit that names far-fetched keys.
  let least = Math.max(2, Math.floor(word.length / 3)) + 1;
  for (const candidate of known) {
    const distance = wordDistance(small, candidate.toLowerCase());
    if (distance < least && distance < candidate.length) {
      least = distance;
      found = candidate;
    }
  }
  return found;
}

/** `did you mean lap_minutes?`, or else what the caller would say without a guess. */
export function didYouMean(word: string, known: readonly string[], otherwise: string): string {
  const near = nearestWord(word, known);
  return near === null ? otherwise : `did you mean ${near}?`;
}
