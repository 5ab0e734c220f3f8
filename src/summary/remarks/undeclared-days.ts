// Says that the plan was made for fewer days than were ridden; one of the remarks.
import type { Remark } from "../../domain/remark.ts";
import { isBeyondDeclared } from "../declared-days.ts";
import type { RemarkBasis } from "./remark-basis.ts";

export function undeclaredDays({ input }: RemarkBasis): readonly Remark[] {
  if (!isBeyondDeclared(input)) return [];
  const { days } = input.settings;
  const ridden = String(input.daySheets?.length ?? 0);
  const planned = `${String(days)} ${days === 1 ? "day was" : "days were"} planned and ${ridden} ridden`;
  const text = `${planned}: the band is the wider one that holds for any number of runs; to keep the plan's, write days = ${ridden} in the sheet before the first day`;
  return [{ level: "warn", kind: "undeclared-days", rider: null, setup: null, run: null, text }];
}
