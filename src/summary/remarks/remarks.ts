// All that is to be said beside the comparison, most urgent first; called by the summary after every
// run. Each kind of remark has a file of its own and one line here.
import type { Remark } from "../../domain/remark.ts";
import { lopsidedVoids } from "./lopsided-voids.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { slowRuns } from "./slow-run.ts";

type RemarkMaker = (basis: RemarkBasis) => readonly Remark[];

const MAKERS: readonly RemarkMaker[] = [slowRuns, lopsidedVoids];

const LEVELS = ["ask", "warn", "note"] as const;

/** The remarks, what is asked first. */
export function remarksOn(basis: RemarkBasis): readonly Remark[] {
  const all = MAKERS.flatMap((make) => make(basis));
  return LEVELS.flatMap((level) => all.filter((remark) => remark.level === level));
}
