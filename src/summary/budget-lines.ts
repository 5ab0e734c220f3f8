// The budget of a run's time as lines of plain text: for the console's run list and the command line.
import { assertNever } from "../domain/errors.ts";
import { type BudgetPart, differenceUncertainty, type TimeBudget } from "./time-budget.ts";

/** chosen: a laptop's or a receiver's crystal, parts in a million; from memory. */
const SCALE_PPM = 50;

/** Milliseconds to two digits, hand times to whole ones. */
function ms(s: number): string {
  const value = s * 1000;
  const decimals = value >= 9.95 ? 0 : value >= 0.995 ? 1 : value >= 0.0095 ? 2 : 4;
  return `${value.toFixed(decimals)} ms`;
}

function where(at: BudgetPart["at"]): string {
  if (at === "both") return "";
  return at === "from" ? " at the start" : " at the finish";
}

function what(part: BudgetPart): string {
  switch (part.kind) {
    case "clock":
      return "clock of the box";
    case "paths":
      return "unequal ways to and from the boxes";
    case "laptop":
      return "laptop restarted in between";
    case "optics":
      return "receiver";
    case "meets":
      return "where the tyre meets the beam";
    case "stamp":
      return "step of the box's stamp";
    case "reader":
      return "field of the transponder reader";
    case "press":
      return "hand";
    case "given":
      return "as given with the imported time";
    default:
      return assertNever(part.kind);
  }
}

function partLine(part: BudgetPart, width: number): string {
  const name = `${what(part)}${where(part.at)}`.padEnd(width);
  const from = part.halfWidthS === null ? "" : `, anywhere within +-${ms(part.halfWidthS)}`;
  const common = part.isCommon ? ", alike in all runs" : "";
  return `  ${name}  ${ms(part.uncertaintyS).padStart(9)}${from}${common}`;
}

/**
 * The parts, largest first, and what they come to. One sentence or table row a line, without colour;
 * holds no text from outside.
 */
export function budgetLines(budget: TimeBudget): readonly string[] {
  const { parts, combinedS, expandedS, ownS, timeS } = budget;
  if (combinedS === null || expandedS === null || ownS === null) {
    return ["no uncertainty was given with this imported time"];
  }
  const width = parts.reduce((w, p) => Math.max(w, what(p).length + where(p.at).length), 0);
  const difference = differenceUncertainty(budget, budget) ?? 0;
  const isBoxes = parts.some((part) => part.kind === "clock");
  const isOneClock = !isBoxes && parts.some((part) => part.kind === "stamp");
  const isShared = parts.some((part) => part.isCommon);
  return [
    ...parts.map((part) => partLine(part, width)),
    `together ${ms(combinedS)} (standard uncertainty), +-${ms(expandedS)} at about 95 %`,
    `difference of two such runs: ${ms(difference)}${isShared ? "; what is alike in all runs cancels" : ""}`,
    ...(isOneClock
      ? [
          `not counted: the one clock at both ends may run ${String(SCALE_PPM)} millionths fast or slow, ${ms(SCALE_PPM * 1e-6 * timeS)} in all runs alike`,
        ]
      : []),
    ...(isBoxes
      ? [
          `not counted: the laptop's clock may run ${String(SCALE_PPM)} millionths fast or slow, ${ms(SCALE_PPM * 1e-6 * timeS)} in all runs alike`,
        ]
      : []),
    ...(budget.isProvisional ? ["provisional: a better time may still come"] : []),
  ];
}
