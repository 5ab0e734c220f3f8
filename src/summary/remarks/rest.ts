// Whether riders were as rested for one set-up as for another, and which runs came after a break;
// among the remarks.
import { breakBefore, restsBefore } from "../../advisor/rest-before.ts";
import type { ComparisonInput } from "../../domain/comparison.ts";
import type { Remark } from "../../domain/remark.ts";
import type { RiderId } from "../../domain/session.ts";
import { type SetupMean, setupMeans } from "./means-by-setup.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { runName } from "./run-name.ts";
import { whose } from "./whose.ts";

/** chosen: less is the rider's own doing at the start; test/summary/remarks/rest.test.ts. */
const DIFFERS_MINUTES = 3;
/** Of the shorter mean. chosen: after half an hour's lap three minutes more are no rest; same test. */
const DIFFERS_SHARE = 0.25;

/** One warning a rider: mean rest before the starts differs between the most and the least rested set-up. */
export function unequalRests({ input }: RemarkBasis): readonly Remark[] {
  return input.riders.flatMap(({ id: rider }): readonly Remark[] => {
    const rests = daysOf(input).flatMap((day) =>
      restsBefore(input, rider, day).flatMap(({ run, minutes, breakMinutes }) =>
        minutes === null || breakMinutes !== null ? [] : [{ setup: run.setup, value: minutes }],
      ),
    );
    const means = setupMeans(input, rests);
    const [least, most] = [means.at(0), means.at(-1)];
    if (least === undefined || most === undefined) return [];
    const more = most.mean - least.mean;
    if (more <= DIFFERS_MINUTES || more <= DIFFERS_SHARE * least.mean) return [];
    const told = ({ setup, mean }: SetupMean): string => `${setup} ${mean.toFixed(1)} min`;
    const text = `mean rest before the starts differs: ${told(most)}, ${told(least)}: rest as long before each, or the times compare the rests too`;
    return [remark("unequal-rest", rider, most.setup, null, whose(input, rider) + text)];
  });
}

/** One warning a rider: the newest counted run right after a break, which had better been a warm-up. */
export function runsAfterBreak({ input }: RemarkBasis): readonly Remark[] {
  return input.riders.flatMap(({ id: rider }): readonly Remark[] => {
    const found = daysOf(input).flatMap((day) => breakBefore(input, rider, day));
    const newest = found.at(-1);
    if (newest === undefined) return [];
    const { run, breakMinutes } = newest;
    const minutes = String(Math.round(breakMinutes ?? 0));
    const text = `${runName(input, run)} came after a break of ${minutes} min: the first lap after one is best a warm-up`;
    return [remark("after-break", rider, null, run.runId, text)];
  });
}

function daysOf({ runs }: ComparisonInput): readonly number[] {
  return [...new Set(runs.map((run) => run.day))];
}

function remark(
  kind: string,
  rider: RiderId,
  setup: string | null,
  run: string | null,
  text: string,
): Remark {
  return { level: "warn", kind, rider, setup, run, text };
}
