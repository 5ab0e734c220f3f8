// A session sheet as the first entries of its journal. Used by `new`, `import --sheet`, the console's
// form and practice.
import type { ImportedRow } from "../domain/imported-row.ts";
import type { Sheet } from "../domain/session.ts";
import type { Body, Content } from "../journal/content.ts";
import type { Session } from "../session/session.ts";
import { requireOpen } from "./find.ts";

/** @param plan - what is fixed before run 1, worked out from the same sheet */
export function sessionEntries(sheet: Sheet, plan: Body<"plan-fixed">): readonly Content[] {
  const { settings, gates, riders, setups, swaps, hours, gear, explored } = sheet;
  return [
    {
      type: "session-made",
      body: {
        settings: { ...settings, aspects: [...settings.aspects] },
        gates: gates.map((gate) => ({ ...gate })),
        swaps: swaps.map((s) => ({ ...s, place: s.place ?? null })),
        hours: { ...hours, breaks: hours.breaks.map((each) => ({ ...each })) },
        gear: {
          ...gear,
          bikes: gear.bikes.map((b) => ({ ...b, riders: b.riders && [...b.riders] })),
          parts: gear.parts.map((p) => ({ ...p, setups: [...p.setups] })),
        },
        explored: explored && { ...explored, settings: explored.settings.map((s) => ({ ...s })) },
      },
    },
    ...riders.map(
      (rider): Content => ({
        type: "rider-added",
        body: { ...rider, newTo: [...rider.newTo], setups: rider.setups && [...rider.setups] },
      }),
    ),
    ...setups.map(
      (setup): Content => ({
        type: "setup-added",
        body: { ...setup, values: { ...setup.values } },
      }),
    ),
    { type: "plan-fixed", body: plan },
  ];
}

/** Times from a file, as one entry: all of them or none. */
export function importRows(
  session: Session,
  file: string,
  rows: readonly ImportedRow[],
): readonly Content[] {
  requireOpen(session);
  const body = { file, rows: rows.map((row) => ({ ...row, sectorS: [...row.sectorS] })) };
  return [{ type: "times-imported", body }];
}
