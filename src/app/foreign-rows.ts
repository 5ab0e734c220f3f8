// Lines of receivers that do not speak our protocol as rows of the journal, such as our own boxes' lines
// become: the fold knows no other. Called by the recorder.
import type { ForeignLine } from "../domain/foreign-line.ts";
import type { Gate } from "../domain/session.ts";
import { encodeBoxLine } from "../protocol/encode.ts";
import { type ForeignPassing, foreignEvent, foreignExchanges } from "../protocol/foreign-reader.ts";
import { boxKey, type Fold } from "../session/evidence.ts";
import { roleAt } from "./box-places.ts";
import type { ForeignHeard } from "./foreign-port.ts";
import type { Fresh } from "./session-file.ts";

/** Number of the clock run that begins now: above all that the boxes of these lines have had. */
export function nextBoot(fold: Fold, line: ForeignLine): number {
  const had = Object.values(line.boxes).map(
    (box) => fold.boxes.get(boxKey(fold.day, box))?.current ?? 0,
  );
  return Math.max(0, ...had) + 1;
}

/**
 * A passing as our box at that gate would have sent it, beside it the line as it came (`line`) and whose
 * pattern read it (`lines`), and what it says of the receiver's clock.
 *
 * @returns nothing if it counts for no box
 */
export function foreignRows(
  port: string,
  line: ForeignLine,
  gates: readonly Gate[],
  { shown, arrival }: ForeignHeard,
  passing: ForeignPassing,
): readonly Fresh[] {
  const { box } = passing;
  if (box === null) return [];
  const message = foreignEvent(passing, box, roleAt(gates, box));
  const decoded = { ...message, lines: line.name, line: shown };
  const monoUs = arrival.at;
  return [
    {
      type: "line-received",
      body: { port, raw: encodeBoxLine(message), decoded, fault: null },
      monoUs,
    },
    ...foreignExchanges(line, passing, arrival, port).map(
      (body): Fresh => ({ type: "clock-exchanged", body, monoUs }),
    ),
  ];
}

/** What is to be known of a pattern before its lines count, in words; null if there is nothing. */
export function resolutionWords({
  name,
  clock,
  resolutionS,
  latencyS,
}: ForeignLine): string | null {
  if (clock === "arrival" || resolutionS <= latencyS) return null;
  return `lines ${name} print their time in steps of ${String(resolutionS)} s, coarser than their latency of ${String(latencyS)} s: that step makes up most of the uncertainty of a run time`;
}
