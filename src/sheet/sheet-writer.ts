// A session sheet, data to TOML text; used when the console makes a session and for export.
import { stringify, TomlDate } from "smol-toml";
import type { Gate, Rider, Setup, Sheet } from "../domain/session.ts";

/**
 * The sheet as TOML with every setting written out, so that reading it back gives the same sheet
 * whatever the reader's defaults.
 *
 * @param sheet - one that `readSheet` could have given: names without control characters, ids and
 *   figures in range; copies (`from`) stay resolved
 */
export function writeSheet(sheet: Sheet): string {
  const s = sheet.settings;
  const session = given({
    name: s.name,
    date: new TomlDate(s.date),
    zone: s.zone,
    stretch: s.stretch,
    expected_run_s: s.expectedRunS,
    length_m: s.lengthM,
    drop_m: s.dropM,
    margin_s: s.marginS,
    planned_runs: s.plannedRuns,
    days: s.days === 1 ? null : s.days,
    minutes: s.minutes,
    lap_minutes: s.lapMinutes,
    spread_s: s.spreadS,
    drift: s.drift,
    bands: s.bands,
    spreads: s.spreads,
    main: s.mainSetup,
    confidence: s.confidence,
    seed: s.seed,
    travel_min_s: s.travelMinS,
    travel_max_s: s.travelMaxS,
    spread_df: s.spreadDf,
    start: s.start,
    aspects: s.aspects.length === 0 ? null : s.aspects,
    check_runs: sheet.explored?.checkRuns ?? null,
    arrive: sheet.hours.arriveAt,
    gates_minutes: sheet.hours.gatesMinutes,
    pack_minutes: sheet.hours.packMinutes,
    light_until: sheet.hours.lightUntil,
    most_runs_half_day: sheet.hours.mostRunsHalfDay,
    rest_minutes: sheet.hours.restMinutes,
    mechanics: sheet.gear.mechanics,
  });
  return stringify({
    session,
    gates: sheet.gates.map(gateTable),
    riders: sheet.riders.map(riderTable),
    setups: sheet.setups.map(setupTable),
    ...listed({
      swaps: sheet.swaps.map(({ from, to, minutes, place }) =>
        given({ from, to, minutes, place: place ?? null }),
      ),
      breaks: sheet.hours.breaks.map((each) =>
        given({ after_run: each.afterRun, at: each.at, minutes: each.minutes, name: each.name }),
      ),
      bikes: sheet.gear.bikes.map(({ id, name, size, riders, standards }) =>
        given({ id, name, size, riders, ...standards }),
      ),
      parts: sheet.gear.parts.map(({ id, name, kind, setups, tag, standards }) =>
        given({ id, name, kind, setups, tag: tag ?? null, ...standards }),
      ),
      lines: sheet.lines.map((each) => ({
        name: each.name,
        pattern: each.pattern,
        unit: each.unit,
        clock: each.clock,
        boxes: each.boxes,
        latency_s: each.latencyS,
        resolution_s: each.resolutionS,
        baud: each.baud,
      })),
      settings: (sheet.explored?.settings ?? []).map((setting) => ({ ...setting })),
    }),
  });
}

function gateTable(gate: Gate): object {
  return given({ role: gate.role, box: gate.box, sector: gate.sector, terrain: gate.terrain });
}

function riderTable(rider: Rider): object {
  const newTo = rider.newTo.length === 0 ? null : rider.newTo;
  return given({
    id: rider.id,
    name: rider.name,
    tag: rider.tag,
    new_to: newTo,
    setups: rider.setups,
    planned_runs: rider.plannedRuns,
  });
}

function setupTable(setup: Setup): object {
  return given({
    id: setup.id,
    name: setup.name,
    baseline: setup.baseline ? true : null,
    worth_s: setup.worthS,
    price: setup.price,
    weight_kg: setup.weightKg,
    values: Object.keys(setup.values).length === 0 ? null : setup.values,
  });
}

/** Without empty lists: a heading without tables says nothing. */
function listed(tables: Readonly<Record<string, readonly object[]>>): object {
  return Object.fromEntries(Object.entries(tables).filter(([, list]) => list.length > 0));
}

/** Without the keys that have no value: TOML has no null. */
function given(table: Readonly<Record<string, unknown>>): object {
  return Object.fromEntries(Object.entries(table).filter(([, value]) => value !== null));
}
