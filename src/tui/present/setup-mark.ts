// How a set-up is shown everywhere: its letter, its shape, its name; called by every panel.
import type { Glyphs } from "./glyphs.ts";
import { safeText } from "./safe-text.ts";

/**
 * The shape of a set-up.
 *
 * @param index - place in declared order, from 0; shapes repeat beyond the fourth
 */
export function setupShape(index: number, glyphs: Glyphs): string {
  const marks = glyphs.setupMarks;
  return marks[((index % marks.length) + marks.length) % marks.length] ?? "";
}

/** Letter and shape: `B ▲`. */
export function setupMark(setupId: string, index: number, glyphs: Glyphs): string {
  return `${safeText(setupId)} ${setupShape(index, glyphs)}`;
}

/** Letter, shape and name: `B ▲ Insert`. */
export function setupLabel(setupId: string, name: string, index: number, glyphs: Glyphs): string {
  return `${setupMark(setupId, index, glyphs)} ${safeText(name)}`.trimEnd();
}
