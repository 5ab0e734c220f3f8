// What is known of the runs beside their times, from the fold of the journal; called where the input
// of the comparison is made.
import type { DayFacts } from "../domain/day-facts.ts";
import type { Session } from "../session/session.ts";
import { dayBlocks } from "./blocks.ts";
import { entrySpeeds, gateSpeeds } from "./gate-speeds.ts";
import { partReads } from "./tags-on-parts.ts";

export function dayFacts(
  session: Pick<Session, "passings" | "runs" | "setups" | "gear" | "riders" | "notes">,
): DayFacts {
  return {
    entries: entrySpeeds(gateSpeeds(session)),
    partReads: partReads(session),
    blocks: dayBlocks(session),
  };
}
