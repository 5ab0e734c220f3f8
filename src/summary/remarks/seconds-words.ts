// Differences in the words of the remarks; called by the makers of remarks.

/** One decimal reads quicker; two where it would look like nought. */
function decimalsFor(valueS: number): number {
  return Math.abs(valueS) < 0.05 ? 2 : 1;
}

/** Without a sign: `2.1 s`. */
export function plainSeconds(valueS: number): string {
  return `${Math.abs(valueS).toFixed(decimalsFor(valueS))} s`;
}

/** With its sign: `-2.1`; what rounds to nothing has none. */
export function signedFigure(valueS: number): string {
  const figure = Math.abs(valueS).toFixed(decimalsFor(valueS));
  if (Number(figure) === 0) return figure;
  return `${valueS < 0 ? "-" : "+"}${figure}`;
}
