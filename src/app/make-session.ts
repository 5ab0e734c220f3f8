// A session sheet as the first entries of its journal. Used by `new`, `import --sheet`, the console's
// form and practice.
import { UserError } from "../domain/errors.ts";
import { valuesOfText } from "../domain/explored-values.ts";
import type { ImportedRow } from "../domain/imported-row.ts";
import type { RiderId, SetupId, Sheet } from "../domain/session.ts";
import type { Body, Content } from "../journal/content.ts";
import type { Session } from "../session/session.ts";
import { setupFor } from "./explore-commands.ts";
import { requireOpen } from "./find.ts";

/** @param plan - what is fixed before run 1, worked out from the same sheet */
export function sessionEntries(sheet: Sheet, plan: Body<"plan-fixed">): readonly Content[] {
  const { settings, gates, riders, setups, swaps, hours, gear, explored, lines } = sheet;
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
          parts: gear.parts.map((p) => ({ ...p, setups: [...p.setups], tag: p.tag ?? null })),
        },
        lines: lines.map((each) => ({ ...each, boxes: { ...each.boxes } })),
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

/**
 * Times from a file, as one entry: all of them or none. In a session that explores, rows that name
 * values make the set-ups that are not there yet.
 *
 * @throws {UserError} `refused` if the session is closed, a row is in it already, or values lie outside
 *   the limits
 */
export function importRows(
  session: Session,
  file: string,
  rows: readonly ImportedRow[],
): readonly Content[] {
  requireOpen(session);
  requireNew(session, rows);
  let { setups } = session;
  const added: Content[] = [];
  const idOf = (name: string): SetupId => {
    const { explored } = session;
    if (explored === null || setups.some((setup) => setup.id === name)) return name;
    const values = valuesOfText(explored.settings, name);
    if (values === null) return name;
    const made = setupFor({ explored, setups }, values);
    if (made.added.length > 0) {
      added.push(...made.added);
      setups = [...setups, made.setup];
    }
    return made.setup.id;
  };
  const named = rows.map((row) => ({
    ...row,
    setup: idOf(row.setup),
    sectorS: [...row.sectorS],
  }));
  return [...added, { type: "times-imported", body: { file, rows: named } }];
}

/** The same list twice would be twice the evidence: a rider starts once at an instant. */
function requireNew(session: Session, rows: readonly ImportedRow[]): void {
  const startOf = (rider: RiderId, at: number): string => JSON.stringify([rider, at]);
  const known = new Set(
    session.runs.flatMap(({ rider, startedAt, timedBy }) =>
      timedBy === "import" && startedAt !== null ? [startOf(rider, startedAt)] : [],
    ),
  );
  const again = rows.filter(
    ({ rider, startedAtUs }) => startedAtUs !== null && known.has(startOf(rider, startedAtUs)),
  );
  if (again.length === 0) return;
  throw new UserError(
    "refused",
    `${String(again.length)} of ${String(rows.length)} ${rows.length === 1 ? "row" : "rows"}: the same rider at the same start is in the session already`,
    "leave out what was imported before, or take that import back (u in the console); nothing was imported",
  );
}
