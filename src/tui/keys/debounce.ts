// Lets a key count once that a glove pressed twice. The console remembers every press and asks for
// those that write, so that a bounce is caught even if the first press changed the mode.

/** The key last seen, counted or not. */
export interface LastPress {
  readonly key: string;
  readonly atMs: number;
}

/** chosen: gloves bounce well within it, and nobody marks two riders by hand so fast on purpose. */
const BOUNCE_MS = 300;

/**
 * Whether a press counts. Each press renews the wait, so that a key held down counts no more often
 * than the keyboard's first repeat.
 *
 * @param atMs - when it came, ms of a clock that never goes back
 */
export function pressCounts(last: LastPress | undefined, press: LastPress): boolean {
  if (last === undefined || last.key !== press.key) return true;
  const sinceMs = press.atMs - last.atMs;
  return sinceMs < 0 || sinceMs >= BOUNCE_MS;
}
