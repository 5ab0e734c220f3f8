// What a rider should know of the curve before believing it; shown by the screens' help.

/** Lines without a full stop at the end. */
export const HELP: readonly string[] = [
  "The best value is the lowest point of a parabola laid through all runs, session drift allowed for",
  "It holds if the curve is a parabola: where it falls gently on one side and rises steeply on the other, the true best may lie outside the values called as good",
  "Values as good as the best are those whose fitted time is not clearly longer (one-sided 95 %)",
  "Nothing outside your limits is ever suggested; a best at a limit may lie beyond it",
  "Keep the present value unless the gain is clear, and ride the value found back to back against it before believing it",
];
