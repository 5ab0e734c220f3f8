// All that is to be said beside the comparison, most urgent first; called by the summary after every
// run. Each kind of remark has a file of its own and one line here.
import type { Remark } from "../../domain/remark.ts";
import { caughtRemarks } from "./caught.ts";
import { conditionsBlocks } from "./conditions-blocks.ts";
import { consistencies } from "./consistency.ts";
import { daySheets } from "./day-sheets.ts";
import { days } from "./days.ts";
import { lastWords, verdictsBefore } from "./earlier-answers.ts";
import { oddEntrySpeeds, unequalEntrySpeeds } from "./entry-speed.ts";
import { unequalExertions } from "./exertion.ts";
import { stepsOfGround } from "./ground-step.ts";
import { lopsidedHandTiming } from "./hand-timed.ts";
import { hardlyAnyChances } from "./hardly-any-chance.ts";
import { heldUp } from "./held-up.ts";
import { lopsidedVoids } from "./lopsided-voids.ts";
import { mainQuestion } from "./main-question.ts";
import { missingRuns } from "./missing-runs.ts";
import { mistakes, quickerButMistakes } from "./mistakes.ts";
import { newToRiders } from "./new-to-rider.ts";
import { ordersInHalves } from "./order-in-halves.ts";
import { wrongParts } from "./part-tag.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { runsAfterBreak, unequalRests } from "./rest.ts";
import { sameBikes } from "./same-bike.ts";
import { slowRuns } from "./slow-run.ts";
import { undeclaredDays } from "./undeclared-days.ts";
import { unequalCounts } from "./unequal-counts.ts";
import { voidsMatter } from "./voids-matter.ts";
import { worthOf } from "./worth.ts";

type RemarkMaker = (basis: RemarkBasis) => readonly Remark[];

const MAKERS: readonly RemarkMaker[] = [
  wrongParts,
  slowRuns,
  oddEntrySpeeds,
  caughtRemarks,
  missingRuns,
  lopsidedVoids,
  voidsMatter,
  lopsidedHandTiming,
  unequalEntrySpeeds,
  undeclaredDays,
  daySheets,
  days,
  stepsOfGround,
  conditionsBlocks,
  ordersInHalves,
  unequalCounts,
  unequalRests,
  runsAfterBreak,
  newToRiders,
  sameBikes,
  mainQuestion,
  worthOf,
  consistencies,
  lastWords,
  verdictsBefore,
  hardlyAnyChances,
  quickerButMistakes,
  mistakes,
  heldUp,
  unequalExertions,
];

const LEVELS = ["ask", "warn", "note"] as const;

/** The remarks, what is asked first. */
export function remarksOn(basis: RemarkBasis): readonly Remark[] {
  const all = MAKERS.flatMap((make) => make(basis));
  return LEVELS.flatMap((level) => all.filter((remark) => remark.level === level));
}
