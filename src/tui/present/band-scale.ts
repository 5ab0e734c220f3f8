// The scale that bands are drawn against, and its axis with figures; called beside the band rows.
import type { Glyphs } from "./glyphs.ts";
import { textWidth } from "./safe-text.ts";
import { signed } from "./seconds.ts";

/** Differences, s: what the leftmost and the rightmost column stand for, and the step of the figures. */
export interface BandScale {
  readonly lowS: number;
  readonly highS: number;
  readonly stepS: number;
}

/** chosen: so many steps give figures that do not crowd on forty columns. */
const MOST_STEPS = 6;
/** chosen: below this span the figures, which have two decimals, would all read alike. */
const SMALLEST_SPAN_S = 0.02;

function niceStep(spanS: number): number {
  const rough = spanS / MOST_STEPS;
  const power = 10 ** Math.floor(Math.log10(rough));
  const factor = [1, 2, 5, 10].find((f) => f * power >= rough) ?? 10;
  return factor * power;
}

/**
 * A scale with round ends that holds nought and all the values given.
 *
 * @param values - ends of bands, estimates, margins, s; next to nothing between them: -1 to +1
 */
export function bandScale(values: readonly number[]): BandScale {
  const finite = values.filter((value) => Number.isFinite(value));
  const low = Math.min(0, ...finite);
  const high = Math.max(0, ...finite);
  if (high - low < SMALLEST_SPAN_S) return { lowS: -1, highS: 1, stepS: 0.5 };
  const stepS = niceStep(high - low);
  return {
    lowS: Math.floor(low / stepS) * stepS,
    highS: Math.ceil(high / stepS) * stepS,
    stepS,
  };
}

/** Column of a difference, from 0; below 0 or beyond the last if it lies outside the scale. */
export function columnOf(valueS: number, scale: BandScale, width: number): number {
  return Math.round(((valueS - scale.lowS) / (scale.highS - scale.lowS)) * (width - 1));
}

/** Puts a text into a row of single characters, within its ends. */
export function overlay(row: string[], at: number, text: string): void {
  for (const [i, character] of Array.from(text).entries()) {
    if (at + i >= 0 && at + i < row.length) row[at + i] = character;
  }
}

function ticks(scale: BandScale): readonly number[] {
  const count = Math.round((scale.highS - scale.lowS) / scale.stepS);
  return Array.from({ length: count + 1 }, (_, i) => scale.lowS + i * scale.stepS);
}

/** The axis' line: ticks at round figures, the line of no difference, the margin marks. */
export function axisLine(
  scale: BandScale,
  width: number,
  marginS: number | null,
  glyphs: Glyphs,
): string {
  const row = Array.from({ length: width }, () => glyphs.axis);
  for (const tick of ticks(scale)) overlay(row, columnOf(tick, scale, width), glyphs.tick);
  if (marginS !== null) {
    overlay(row, columnOf(-marginS, scale, width), glyphs.margin);
    overlay(row, columnOf(marginS, scale, width), glyphs.margin);
  }
  overlay(row, columnOf(0, scale, width), glyphs.zeroOnOuter);
  return row.join("");
}

/** The figures below the line, nought first, then as many others as do not crowd it. */
export function axisFigures(scale: BandScale, width: number): string {
  const row = Array.from({ length: width }, () => " ");
  const decimals = Math.max(0, Math.ceil(-Math.log10(scale.stepS) - 1e-9));
  const nearest = [...ticks(scale)].sort((a, b) => Math.abs(a) - Math.abs(b));
  for (const tick of nearest) {
    const isZero = Math.abs(tick) < scale.stepS / 2;
    const figure = isZero ? "0" : signed(tick, decimals);
    const centred = columnOf(tick, scale, width) - Math.floor(textWidth(figure) / 2);
    const at = Math.max(0, Math.min(centred, width - figure.length));
    const around = row.slice(Math.max(0, at - 1), at + figure.length + 1);
    if (figure.length <= width && around.every((character) => character === " ")) {
      overlay(row, at, figure);
    }
  }
  return row.join("");
}
