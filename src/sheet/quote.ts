// Text from outside as a message may show it: in quotes, cut short, unable to drive a terminal;
// used by everything here that says what it found.

/**
 * Characters that no name may hold: controls (tab, new line, ESC, C1), halves of surrogate pairs,
 * line and paragraph separators, and the marks that turn the direction of writing round.
 *
 * @see UAX #9 (Unicode bidirectional algorithm), 2.1 to 2.4: U+202A to U+202E, U+2066 to U+2069
 */
export const unprintable = /[\p{Cc}\p{Cs}\u2028\u2029\u202a-\u202e\u2066-\u2069]/u;

const everyUnprintable = new RegExp(unprintable.source, "gu");

/** The text with unprintable characters written as `\u001b`; without quotes, any length. */
export function visible(text: string): string {
  return text.replace(
    everyUnprintable,
    (c) => `\\u${(c.codePointAt(0) ?? 0).toString(16).padStart(4, "0")}`,
  );
}

/**
 * The text in double quotes, one line, at most 40 characters of it.
 *
 * @returns e.g. `"Roots"`, `"\u001b[2J"`, `"a very long ..."`
 */
export function quoted(text: string): string {
  const points = Array.from(text);
  const cut = points.length > 40 ? `${points.slice(0, 37).join("")}...` : text;
  return `"${visible(cut.replaceAll('"', '\\"'))}"`;
}

/** `A, B or C`; one word stands alone. */
export function orList(words: readonly string[]): string {
  if (words.length < 2) return words.join("");
  return `${words.slice(0, -1).join(", ")} or ${words.slice(-1).join("")}`;
}
