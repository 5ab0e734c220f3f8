// A run time as people write it, to whole microseconds; used by the reader of times.

/**
 * Reads seconds with a decimal point (`131.207`) or minutes and seconds (`2:11.207`).
 *
 * @returns whole microseconds, digits beyond the sixth rounded half up; null if the text is no such
 *   time or lies above a day
 */
export function parseTime(text: string): number | null {
  const m = /^(?:(\d{1,4}):(?=[0-5]\d(?:\.|$)))?(\d{1,6})(?:\.(\d+))?$/.exec(text);
  if (m === null) return null;
  const fraction = (m[3] ?? "").padEnd(7, "0");
  const us =
    (Number(m[1] ?? 0) * 60 + Number(m[2])) * 1_000_000 +
    Number(fraction.slice(0, 6)) +
    (Number(fraction[6]) >= 5 ? 1 : 0);
  return us <= 86_400_000_000 ? us : null;
}
