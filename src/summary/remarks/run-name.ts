// How a remark names a run; called by the remarks about single runs.
import type { ComparisonInput } from "../../domain/comparison.ts";
import type { Run } from "../../domain/run.ts";
import { riderName } from "./whose.ts";

/**
 * `run 7`, with the rider where there are several and the day where there is more than one:
 * `run 7 of Rider two on day 2`. Names as the sheet has them: whoever shows them makes them safe.
 *
 * @param run - of the session, with a place in the order
 */
export function runName(input: ComparisonInput, run: Run): string {
  const of = input.riders.length > 1 ? ` of ${riderName(input, run.rider)}` : "";
  const isOneDay = input.runs.every((each) => each.day === run.day);
  const when = isOneDay ? "" : ` on day ${String(run.day + 1)}`;
  return `run ${String(run.k)}${of}${when}`;
}
