// Says where the sheet of a later day promised something else than the first day's; one of the remarks.
import type { Remark } from "../../domain/remark.ts";
import type { Settings } from "../../domain/session.ts";
import { daysBeyondDeclared } from "../declared-days.ts";
import type { RemarkBasis } from "./remark-basis.ts";

type Promised = readonly (readonly [string, (settings: Settings) => string])[];

/** What was promised before run 1, in words. */
const PROMISES: Promised = [
  ["worth having", ({ marginS }) => (marginS === null ? "not named" : `${String(marginS)} s`)],
  ["trend over the day", ({ drift }) => drift],
  ["spreads", ({ spreads }) => spreads],
  ["confidence", ({ confidence }) => String(confidence)],
  ["time zone", ({ zone }) => zone],
];

/** What does not hold any more where more days were ridden than declared. */
const PLAN: Promised = [
  ["planned runs", ({ plannedRuns }) => (plannedRuns === null ? "none" : String(plannedRuns))],
  ["days", ({ days }) => String(days)],
  ["bands", ({ bands }) => bands],
];

/** One a day that differs; the first day's promise holds. */
export function daySheets({ input }: RemarkBasis): readonly Remark[] {
  const [first, ...later] = input.daySheets ?? [];
  if (first === undefined) return [];
  const promises = daysBeyondDeclared(input) === null ? [...PLAN, ...PROMISES] : PROMISES;
  return later.flatMap((sheet, i): readonly Remark[] => {
    const others = promises.flatMap(([what, of]) =>
      of(sheet) === of(first) ? [] : `${what} ${of(sheet)} (day 1: ${of(first)})`,
    );
    if (others.length === 0) return [];
    const text = `the sheet of day ${String(i + 2)} differs: ${others.join(", ")}; what day 1 promised holds`;
    return [{ level: "warn", kind: "day-sheets", rider: null, setup: null, run: null, text }];
  });
}
