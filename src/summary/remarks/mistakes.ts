// How many runs of each set-up went wrong, a result beside the clock; among the remarks.
import type { Remark } from "../../domain/remark.ts";
import type { Run } from "../../domain/run.ts";
import { mishapsOf, riddenRuns } from "./mishaps.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import {
  otherShareWords,
  type SetupShare,
  type SharePair,
  sharePairs,
  shareWords,
} from "./setup-shares.ts";
import { wholePairs } from "./whole-pairs.ts";
import { whose } from "./whose.ts";

/** Level of the test, shared among the set-ups but the baseline as the bands' is. */
const LEVEL = 0.05;
/** chosen: one or two mistakes more are no reason to doubt a set-up; four of eight against none are. */
const WORTH_A_SENTENCE = 0.1;

/**
 * Runs with a mistake, dab, near miss, crash, puncture or mechanical by set-up, those struck out for
 * it among them, of all riders; each set-up against the baseline by Fisher's exact test.
 */
export function mistakes({ input }: RemarkBasis): readonly Remark[] {
  const mishaps = mishapsOf(input);
  const runs = riddenRuns(input);
  const level = LEVEL / Math.max(1, input.setups.length - 1);
  return sharePairs(input, runs, (run) => mishaps.has(run.runId)).map(
    ({ candidate, more, fewer, p }) => {
      const kinds = ({ setup }: SetupShare): string =>
        kindWords(runs.filter((run) => run.setup === setup).map((run) => mishaps.get(run.runId)));
      const chance = p < level ? `hardly chance (${pWords(p)})` : "could be chance";
      return note(
        null,
        candidate,
        `mistakes: ${shareWords(more)}${kinds(more)}, ${otherShareWords(fewer)}${kinds(fewer)}: ${chance}`,
      );
    },
  );
}

/** Says of a quicker set-up that it had more mistakes, for each answer by that answer's own runs. */
export function quickerButMistakes({ input, riders, together }: RemarkBasis): readonly Remark[] {
  const mishaps = mishapsOf(input);
  const runs = riddenRuns(input);
  const isMarked = (run: Run): boolean => mishaps.has(run.runId);
  const answers = [
    ...riders.map((rider) => ({
      rider: rider.rider,
      who: whose(input, rider.rider),
      pairs: wholePairs(rider),
      runs: runs.filter((run) => run.rider === rider.rider),
    })),
    { rider: null, who: "all riders: ", pairs: together?.pairs ?? [], runs },
  ];
  return answers.flatMap(({ rider, who, pairs, runs: own }) =>
    sharePairs(input, own, isMarked).flatMap((share): readonly Remark[] => {
      const verdict = pairs.find((pair) => pair.setup === share.candidate)?.verdict;
      const isCandidateMore = share.more.setup === share.candidate;
      if (verdict !== (isCandidateMore ? "quicker" : "slower")) return [];
      if (share.p >= WORTH_A_SENTENCE) return [];
      return [note(rider, share.candidate, `${who}${quickerWords(share)}`)];
    }),
  );
}

function quickerWords({ more, fewer }: SharePair): string {
  const count = `${String(more.count)} of ${String(more.of)} runs`;
  return `${more.setup} quicker but with more mistakes (${count}, ${otherShareWords(fewer)})`;
}

function note(rider: string | null, setup: string | null, text: string): Remark {
  return { level: "note", kind: "mistakes", rider, setup, run: null, text };
}

/** ` (crash 1, dab 3)`; nothing where all are plain mistakes, or there are none. */
function kindWords(found: readonly (ReadonlySet<string> | undefined)[]): string {
  const counts = new Map<string, number>();
  for (const kinds of found) {
    for (const kind of kinds ?? []) counts.set(kind, (counts.get(kind) ?? 0) + 1);
  }
  if ([...counts.keys()].every((kind) => kind === "mistake")) return "";
  const words = [...counts]
    .toSorted(([a], [b]) => (a < b ? -1 : 1))
    .map(([kind, count]) => `${kind.replace("-", " ")} ${String(count)}`);
  return ` (${words.join(", ")})`;
}

function pWords(p: number): string {
  return p < 0.01 ? "p below 0.01" : `p ${p.toFixed(2)}`;
}
