// Warns when far more runs of one set-up were timed by hand than of the other; one of the remarks.
import type { Remark } from "../../domain/remark.ts";
import type { Run } from "../../domain/run.ts";
import { isLopsided } from "./lopsided-voids.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { otherShareWords, sharePairs, shareWords } from "./setup-shares.ts";

/** Standard uncertainty from which an imported time was a person's, s. chosen: half of one press. */
const HAND_S = 0.1;

/** One warning a set-up, over the counted runs of all riders, by the rule for struck-out runs. */
export function lopsidedHandTiming({ input }: RemarkBasis): readonly Remark[] {
  const counted = input.runs.filter((run) => run.k !== null && run.status === "ok");
  return sharePairs(input, counted, isHandTimed)
    .filter(isLopsided)
    .map(({ more, fewer }) => ({
      level: "warn",
      kind: "hand-timed",
      rider: null,
      setup: more.setup,
      run: null,
      text: `${shareWords(more)} were timed by hand, ${otherShareWords(fewer)}: a press is good to 0.2 s and may lean to one side, so time both alike`,
    }));
}

/** By a key or, in an imported time, as far as its uncertainty says. */
function isHandTimed({ timedBy, uncertaintyS }: Run): boolean {
  return timedBy === "hand" || (timedBy === "import" && (uncertaintyS ?? 0) >= HAND_S);
}
