// Normal numbers from uniform ones; called by ride-day.ts's block of days.

/**
 * Standard normal numbers.
 *
 * @param uniform - numbers in [0, 1)
 * @see Box & Muller (1958), Ann. Math. Statist. 29, 610 (from memory)
 */
export function normals(uniform: () => number): () => number {
  let spare: number | undefined;
  return () => {
    if (spare !== undefined) {
      const kept = spare;
      spare = undefined;
      return kept;
    }
    const radius = Math.sqrt(-2 * Math.log(1 - uniform()));
    const angle = 2 * Math.PI * uniform();
    spare = radius * Math.sin(angle);
    return radius * Math.cos(angle);
  };
}
