// Asks about runs at whose start a part was read that does not belong to the set-up logged; one of
// the remarks.
import type { ComparisonInput } from "../../domain/comparison.ts";
import type { Remark } from "../../domain/remark.ts";
import type { Run, RunStatus } from "../../domain/run.ts";
import { confirmedSetup } from "../tags-on-parts.ts";
import { factsOf } from "./facts-of.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { runName } from "./run-name.ts";

const IN_QUESTION: readonly RunStatus[] = ["ok", "unsure", "on-course"];

/** One question a run, until its set-up is corrected to one that has the part, or confirmed. */
export function wrongParts({ input }: RemarkBasis): readonly Remark[] {
  const { partReads } = factsOf(input);
  if (partReads.length === 0) return [];
  return input.runs.flatMap((run): readonly Remark[] => {
    if (run.k === null || !IN_QUESTION.includes(run.status)) return [];
    if (confirmedSetup(input.measures, run.runId) === run.setup) return [];
    const reads = partReads.filter((read) => read.runId === run.runId);
    const wrong = reads.filter(({ setups }) => !setups.includes(run.setup));
    if (wrong.length === 0) return [];
    const right = reads.filter(({ setups }) => setups.includes(run.setup));
    return [question(input, run, names(wrong), names(right))];
  });
}

const names = (reads: readonly { readonly part: string }[]): readonly string[] =>
  reads.map(({ part }) => part);

function question(
  input: ComparisonInput,
  run: Run,
  wrong: readonly string[],
  right: readonly string[],
): Remark {
  const { setup } = run;
  const were = wrong.length === 1 ? "was" : "were";
  const also = right.length === 0 ? "" : `, and ${right.join(" and ")} too`;
  return {
    level: "ask",
    kind: "part-tag",
    rider: run.rider,
    setup,
    run: run.runId,
    text: `${runName(input, run)}: ${wrong.join(" and ")} ${were} read at the start${also}, but ${setup} is entered: correct the set-up (b) or confirm it`,
  };
}
