// Asks about runs that were entered at a speed of their own, and warns where set-ups were entered at
// different ones; two of the remarks. Times are never corrected for it.
import type { ComparisonInput } from "../../domain/comparison.ts";
import type { Remark } from "../../domain/remark.ts";
import { baselineOf } from "../../domain/session.ts";
import {
  type EntryGap,
  entriesBySetup,
  entryGap,
  entryWorthS,
  type OddEntry,
  oddEntries,
} from "../../stats/entry-speeds.ts";
import { startWords } from "../start-words.ts";
import { factsOf } from "./facts-of.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { runName } from "./run-name.ts";
import { whose } from "./whose.ts";

/** chosen: a third question is no longer read; once one is answered, the next comes. */
const MOST_AT_ONCE = 2;

/** One question a run, at most two a rider; none about a run that was marked as counting. */
export function oddEntrySpeeds({ input }: RemarkBasis): readonly Remark[] {
  const { entries } = factsOf(input);
  if (entries.length === 0) return [];
  return input.riders.flatMap(({ id }) =>
    oddEntries(input, id, entries)
      .filter(({ run }) => !run.isMarkedOk)
      .slice(0, MOST_AT_ONCE)
      .map((odd) => question(input, odd)),
  );
}

function question(input: ComparisonInput, odd: OddEntry): Remark {
  const { run, speedMS, othersMS, othersSpreadMS } = odd;
  const others = `the others at ${speed(othersMS)} m/s (+-${speed(othersSpreadMS)})`;
  const worth = worthWords(speedMS - othersMS, othersMS);
  const start = input.settings.start === null ? "" : ` (${startWords(input.settings)})`;
  return {
    level: "ask",
    kind: "entry-speed",
    rider: run.rider,
    setup: null,
    run: run.runId,
    text: `${runName(input, run)} entered at ${speed(speedMS)} m/s, ${others}${worth}: was the start not the same${start}? strike it out only for a cause seen or told; times are never corrected`,
  };
}

/** One warning a rider and set-up that was entered at another speed than the baseline. */
export function unequalEntrySpeeds({ input }: RemarkBasis): readonly Remark[] {
  const { entries } = factsOf(input);
  if (entries.length === 0) return [];
  const baseline = baselineOf(input.setups).id;
  return input.riders.flatMap(({ id: rider }) => {
    const means = entriesBySetup(input, rider, entries);
    const own = means.find(({ setup }) => setup === baseline);
    if (own === undefined) return [];
    return means.flatMap((mean): readonly Remark[] => {
      const gap = mean === own ? null : entryGap(mean, own);
      if (gap === null) return [];
      const text = whose(input, rider) + gapWords(gap);
      return [{ level: "warn", kind: "unequal-entry", rider, setup: mean.setup, run: null, text }];
    });
  });
}

function gapWords({ quicker, slower, gapMS }: EntryGap): string {
  const means = `${quicker.setup} was entered at ${speed(quicker.meanMS)} m/s on average, ${slower.setup} at ${speed(slower.meanMS)}`;
  const worth = worthWords(gapMS, (quicker.meanMS + slower.meanMS) / 2);
  return `${means}${worth}: start the same way on each, or the times compare the starts too`;
}

function worthWords(differenceMS: number, speedMS: number): string {
  const worth = entryWorthS(differenceMS, speedMS);
  if (worth === null) return "";
  const [low, high] = worth.map((s) => s.toFixed(1));
  const range =
    low === high ? `about ${String(high)} s` : `about ${String(low)} to ${String(high)} s`;
  return `, worth ${range} if it fades over 2 to 4 s`;
}

function speed(ms: number): string {
  return ms.toFixed(1);
}
