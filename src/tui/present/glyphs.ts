// The characters that the screen is drawn with, in two sets; handed to everything that draws.

export interface Glyphs {
  /** Shapes of the set-ups in declared order; used again from the start beyond the last. */
  readonly setupMarks: readonly string[];
  readonly voidMark: string;
  readonly ellipsis: string;
  readonly plusMinus: string;
  /** A stroke of a big digit. */
  readonly block: string;
  /** Rules and frames. */
  readonly rule: string;
  readonly bar: string;
  /** The band: thin outer part, thick inner part, their ends, the estimate. */
  readonly outer: string;
  readonly inner: string;
  readonly bandLeft: string;
  readonly bandRight: string;
  readonly estimate: string;
  /** The line of no difference, alone and where a band crosses it. */
  readonly zero: string;
  readonly zeroOnOuter: string;
  readonly zeroOnInner: string;
  readonly margin: string;
  /** The scale below the bands: its line, its ticks. */
  readonly axis: string;
  readonly tick: string;
}

/** No emoji; each one column wide, two where a terminal shows ambiguous characters wide. */
export const UNICODE_GLYPHS: Glyphs = {
  setupMarks: ["●", "▲", "■", "◆"],
  voidMark: "✗",
  ellipsis: "…",
  plusMinus: "±",
  block: "█",
  rule: "─",
  bar: "│",
  outer: "─",
  inner: "━",
  bandLeft: "├",
  bandRight: "┤",
  estimate: "█",
  zero: "│",
  zeroOnOuter: "┼",
  zeroOnInner: "┿",
  margin: "┊",
  axis: "─",
  tick: "┴",
};

/** For terminals set to wide ambiguous characters, and those that know no better. */
export const ASCII_GLYPHS: Glyphs = {
  setupMarks: ["o", "^", "#", "*"],
  voidMark: "x",
  ellipsis: "~",
  plusMinus: "+-",
  block: "#",
  rule: "-",
  bar: "|",
  outer: "-",
  inner: "=",
  bandLeft: "[",
  bandRight: "]",
  estimate: "@",
  zero: "|",
  zeroOnOuter: "+",
  zeroOnInner: "+",
  margin: ":",
  axis: "-",
  tick: "+",
};
