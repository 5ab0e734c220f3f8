// What remarks are made from, worked out from the real comparison of a session made by hand.
import type { ComparisonInput } from "../../../src/domain/comparison.ts";
import type { Setup } from "../../../src/domain/session.ts";
import { compareRiders } from "../../../src/stats/compare.ts";
import { compareTogether } from "../../../src/stats/together.ts";
import type { RemarkBasis } from "../../../src/summary/remarks/remark-basis.ts";
import { type MadeSession, madeSession } from "../../stats/made-session.ts";

export function basisOfInput(input: ComparisonInput): RemarkBasis {
  return { input, riders: compareRiders(input), together: compareTogether(input) };
}

/** @param setups - what the sheet says besides, by id */
export function basisOf(
  made: MadeSession,
  setups: Readonly<Record<string, Partial<Setup>>> = {},
): RemarkBasis {
  const input = madeSession(made);
  return basisOfInput({
    ...input,
    setups: input.setups.map((setup) => ({ ...setup, ...setups[setup.id] })),
  });
}
