// Differences in the words of the remarks; called by the makers of remarks.
import type { Band } from "../../domain/comparison.ts";

/** One decimal reads quicker; two where a figure would look like nought though it is not. */
function decimalsFor(valuesS: readonly number[]): number {
  return valuesS.some((value) => value !== 0 && Math.abs(value) < 0.05) ? 2 : 1;
}

function signed(valueS: number, decimals: number): string {
  const figure = Math.abs(valueS).toFixed(decimals);
  if (Number(figure) === 0) return figure;
  return `${valueS < 0 ? "-" : "+"}${figure}`;
}

/** Without a sign: `2.1 s`. */
export function plainSeconds(valueS: number): string {
  return `${Math.abs(valueS).toFixed(decimalsFor([valueS]))} s`;
}

/** With its sign: `-2.1`; what rounds to nothing has none. */
export function signedFigure(valueS: number): string {
  return signed(valueS, decimalsFor([valueS]));
}

/** A difference with its band: `-1.0 s, between -2.4 and +0.4 s`. */
export function differenceWords(differenceS: number, [lowS, highS]: Band): string {
  const decimals = decimalsFor([lowS, highS]);
  const [difference, low, high] = [differenceS, lowS, highS].map((s) => signed(s, decimals));
  return `${String(difference)} s, between ${String(low)} and ${String(high)} s`;
}
