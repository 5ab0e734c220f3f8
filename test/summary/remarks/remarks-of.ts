// The remarks on a session made by hand, worked out from the real comparison.
import type { Remark } from "../../../src/domain/remark.ts";
import { compareRiders } from "../../../src/stats/compare.ts";
import { compareTogether } from "../../../src/stats/together.ts";
import { remarksOn } from "../../../src/summary/remarks/remarks.ts";
import { type MadeSession, madeSession } from "../../stats/made-session.ts";

export function remarksOf(made: MadeSession, ...kinds: readonly string[]): readonly Remark[] {
  const input = madeSession(made);
  const remarks = remarksOn({
    input,
    riders: compareRiders(input),
    together: compareTogether(input),
  });
  return remarks.filter((remark) => kinds.includes(remark.kind));
}

export function textsOf(made: MadeSession, ...kinds: readonly string[]): readonly string[] {
  return remarksOf(made, ...kinds).map((remark) => remark.text);
}
