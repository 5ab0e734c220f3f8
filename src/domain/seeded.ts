// Numbers that look random and are the same for the same seed; called by the advisor's shuffle and
// coin, and by whatever simulates a day.

/**
 * Uniform numbers in [0, 1), 2^32 different ones, for shuffles, coins and simulation; not for
 * secrets.
 *
 * @param seed - any whole number; only its lowest 32 bits count
 * @see mulberry32 by Tommy Ettinger, 2017, public domain (from memory)
 */
export function seededRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), 1 | state);
    t = (t + Math.imul(t ^ (t >>> 7), 61 | t)) ^ t;
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

/**
 * A new list in random order, every order equally likely as far as the numbers go.
 *
 * @param random - uniform numbers in [0, 1)
 * @see Durstenfeld (1964), Algorithm 235, Comm. ACM 7, 420 (from memory)
 */
export function shuffled<T>(items: readonly T[], random: () => number): readonly T[] {
  const result = [...items];
  for (let left = result.length; left > 1; left -= 1) {
    const [taken] = result.splice(Math.floor(random() * left), 1);
    if (taken !== undefined) result.push(taken);
  }
  return result;
}
