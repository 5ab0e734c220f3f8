// How many runs of each set-up were held up by others: told apart from mistakes, since no set-up does
// that; one of the remarks.
import type { Remark } from "../../domain/remark.ts";
import { heldUpRuns, riddenRuns } from "./mishaps.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { otherShareWords, shareOf, shareWords } from "./setup-shares.ts";

/** One note for all set-ups ridden; nothing is tested. */
export function heldUp({ input }: RemarkBasis): readonly Remark[] {
  const held = heldUpRuns(input);
  const runs = riddenRuns(input);
  if (!runs.some((run) => held.has(run.runId))) return [];
  const words = input.setups
    .map(({ id }) => shareOf(id, runs, (run) => held.has(run.runId)))
    .filter((share) => share.of > 0)
    .map((share, i) => (i === 0 ? shareWords(share) : otherShareWords(share)));
  const text = `held up by others: ${words.join(", ")}`;
  return [{ level: "note", kind: "held-up", rider: null, setup: null, run: null, text }];
}
