// Says that the plan was made for fewer days than were ridden; one of the remarks.
import type { Remark } from "../../domain/remark.ts";
import { daysBeyondDeclared } from "../declared-days.ts";
import type { RemarkBasis } from "./remark-basis.ts";

export function undeclaredDays({ input }: RemarkBasis): readonly Remark[] {
  const ridden = daysBeyondDeclared(input);
  if (ridden === null) return [];
  const { days } = input.settings;
  const planned = `${String(days)} ${days === 1 ? "day was" : "days were"} planned and ${String(ridden)} ridden`;
  const text = `${planned}: the band is the wider one that holds for any number of runs; to keep the plan's, write days = ${String(ridden)} in the sheet before the first day`;
  return [{ level: "warn", kind: "undeclared-days", rider: null, setup: null, run: null, text }];
}
