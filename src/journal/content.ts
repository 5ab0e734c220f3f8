// What a journal entry can say: one schema a type. Only people's decisions and what came from
// outside are entries; matching is worked out from them. Written by app, read by the fold.
import { z } from "zod";
import { NO_HOURS } from "../domain/day-hours.ts";
import { NO_GEAR } from "../domain/gear.ts";

const id = z.string().regex(/^[A-Za-z0-9_-]{1,16}$/);
const boxId = z.string().regex(/^[0-9A-Z]{1,4}$/);
const us = z.number().int();
const text = z.string().max(2000);
const seconds = z.number();
const sector = z.number().int().min(1).max(98);
/** Names one passing: `box:boot:seq`, `hand:<entry seq>`. */
const passingId = z.string().max(40);
const runId = z.string().max(24);

const gate = z.object({
  role: z.enum(["start", "split", "finish"]),
  box: boxId.nullable(),
  sector: text.nullable(),
  terrain: text.nullable(),
});
const rider = z.object({
  id,
  name: text,
  tag: z
    .string()
    .regex(/^[0-9A-Z]{1,8}$/)
    .nullable(),
  newTo: z.array(id),
  setups: z.array(id).nullable().default(null),
  plannedRuns: z.number().int().positive().nullable().default(null),
});
const setup = z.object({
  id,
  name: text,
  baseline: z.boolean(),
  values: z.record(z.string(), z.union([z.string(), z.number(), z.boolean()])),
  worthS: seconds.positive().nullable().default(null),
  price: z.number().nonnegative().nullable().default(null),
  weightKg: z.number().positive().nullable().default(null),
});
const swap = z.object({
  from: id,
  to: id,
  minutes: z.number().min(0),
  place: text.nullable().default(null),
});
const timeOfDay = z.string().regex(/^([01]\d|2[0-3]):[0-5]\d$/);
const minutes = z.number().min(0);
const hours = z.object({
  arriveAt: timeOfDay.nullable(),
  gatesMinutes: minutes.nullable(),
  packMinutes: minutes.nullable(),
  lightUntil: timeOfDay.nullable(),
  breaks: z.array(
    z.object({
      afterRun: z.number().int().positive().nullable(),
      at: timeOfDay.nullable(),
      minutes,
      name: text.nullable(),
    }),
  ),
  mostRunsHalfDay: z.number().int().positive().nullable(),
  restMinutes: minutes.nullable(),
});
const standards = z.object({
  axle: text.nullable(),
  rotor: text.nullable(),
  freehub: text.nullable(),
});
const gear = z.object({
  bikes: z.array(
    z.object({
      id,
      name: text,
      size: text.nullable(),
      riders: z.array(id).nullable(),
      standards,
    }),
  ),
  parts: z.array(
    z.object({
      id,
      name: text,
      kind: text,
      setups: z.array(id),
      standards,
      tag: z
        .string()
        .regex(/^[0-9A-Z]{1,8}$/)
        .nullable()
        .default(null),
    }),
  ),
  mechanics: z.number().int().positive().nullable(),
});
const explored = z.object({
  settings: z
    .array(z.object({ key: text, low: z.number(), high: z.number(), step: z.number().positive() }))
    .min(1)
    .max(2),
  checkRuns: z.number().int().positive(),
});

const settings = z.object({
  name: text,
  date: z.string().regex(/^\d{4}-\d{2}-\d{2}$/),
  zone: z.string().max(64),
  stretch: text,
  expectedRunS: seconds.nullable(),
  lengthM: seconds.nullable(),
  dropM: seconds.nullable(),
  marginS: seconds.positive().nullable(),
  plannedRuns: z.number().int().positive().nullable(),
  days: z.number().int().min(1).default(1),
  minutes: seconds.positive().nullable(),
  lapMinutes: seconds.positive().nullable(),
  spreadS: seconds.positive().nullable(),
  spreadDf: z.number().positive().nullable().default(null),
  drift: z.enum(["none", "linear", "learning"]),
  bands: z.enum(["plan", "open"]),
  spreads: z.enum(["each", "common"]),
  mainSetup: id.nullable().default(null),
  confidence: z.number().min(0.9).max(0.999),
  seed: z.number().int(),
  travelMinS: seconds.positive(),
  travelMaxS: seconds.positive(),
  aspects: z.array(text).max(4).default([]),
  start: text.nullable().default(null),
});

const foreignLine = z.object({
  name: text,
  pattern: z.string().max(500),
  unit: z.enum(["s", "ms", "us", "h:m:s"]),
  clock: z.enum(["device", "arrival"]),
  boxes: z.record(z.string().max(40), boxId),
  latencyS: seconds.positive(),
  resolutionS: seconds.positive(),
  baud: z.number().int().positive(),
});

const importedRow = z.object({
  rider: id,
  setup: id,
  status: z.enum(["ok", "warm-up", "void", "dnf"]),
  timeS: seconds.positive().nullable(),
  uncertaintyS: seconds.nonnegative().nullable(),
  sectorS: z.array(seconds.nullable()),
  startedAtUs: us.nullable(),
  reason: text.nullable(),
});

/** One schema for each type of entry, in the version that is written today. */
export const bodies = {
  /** The session as its sheet said it. First entry of every file. */
  "session-made": z.object({
    settings,
    gates: z.array(gate),
    swaps: z.array(swap),
    hours: hours.default({ ...NO_HOURS, breaks: [] }),
    gear: gear.default({ ...NO_GEAR, bikes: [], parts: [] }),
    explored: explored.nullable().default(null),
    lines: z.array(foreignLine).default([]),
  }),
  /** Fixed before run 1 and never changed: what every band is worked out from. */
  "plan-fixed": z.object({
    setups: z.array(id),
    riders: z.array(
      z.object({
        rider: id,
        plannedRuns: z.number().int().positive().nullable(),
        order: z.array(id),
        nuN: z.number().nullable(),
        z2N: z.record(id, z.number().nullable()),
      }),
    ),
    seed: z.number().int(),
  }),
  /** The end brought forward, once; counted runs of that rider. */
  "plan-end-announced": z.object({ rider: id, endRun: z.number().int().positive() }),
  /** Changed after the session was made; shown as such. */
  "settings-changed": z.object({
    marginS: seconds.positive().nullable().optional(),
    minutes: seconds.positive().nullable().optional(),
    lapMinutes: seconds.positive().nullable().optional(),
    travelMinS: seconds.positive().optional(),
    travelMaxS: seconds.positive().optional(),
    /** Before run 1 only. */
    drift: z.enum(["none", "linear", "learning"]).optional(),
    /** Exploring is over: from here on this set-up is checked against the present one. */
    check: z.object({ setup: id, runs: z.number().int().positive() }).nullable().optional(),
  }),
  "rider-added": rider,
  "setup-added": setup,
  "setup-changed": z.object({ setup: id, name: text.optional(), values: setup.shape.values }),
  "recorder-started": z.object({ ports: z.array(text), pid: z.number().int() }),
  "recorder-stopped": z.object({ reason: text }),
  "port-opened": z.object({ port: text }),
  "port-lost": z.object({ port: text, reason: text }),
  /** A line as it came, and either what it says or why it could not be read. */
  "line-received": z.object({
    port: text,
    raw: z.string().max(400),
    decoded: z.record(z.string(), z.union([z.string(), z.number(), z.null()])).nullable(),
    fault: z.string().max(400).nullable(),
  }),
  /** One answered clock question; t1, t4 by the laptop's monotonic clock, t2, t3 by the box's. */
  "clock-exchanged": z.object({
    box: boxId,
    boot: z.number().int().min(0).max(0xffff),
    port: text,
    t1Us: us,
    t2Us: us,
    t3Us: us,
    t4Us: us,
  }),
  /** A passing keyed by the operator, at the instant of the key (monotonic), or typed (UTC). */
  "passing-keyed": z.object({
    gate: z.number().int().min(0),
    keyedMonoUs: us.nullable(),
    typedAtUs: us.nullable(),
    rider: id.nullable(),
    uncertaintyS: seconds.nonnegative(),
  }),
  "setup-swapped": z.object({
    rider: id,
    setup: id,
    minutes: z.number().min(0).nullable(),
    checked: z.boolean(),
  }),
  "setup-corrected": z.object({ run: runId, setup: id }),
  "rider-corrected": z.object({ run: runId, rider: id }),
  "run-marked": z.object({
    run: runId,
    mark: z.enum(["warm-up", "ok", "void", "dnf"]),
    /** Sectors struck out; empty: the whole run. */
    sectors: z.array(sector),
    reason: text.nullable(),
  }),
  /** passing null: the next start is this rider's. run: joins the passing to that run. */
  "passing-assigned": z.object({
    passing: passingId.nullable(),
    rider: id.nullable(),
    run: runId.nullable(),
  }),
  "passing-rejected": z.object({ passing: passingId, reason: text.nullable() }),
  /** Judged "not a bike?" by its shape, but it was one. */
  "passing-promoted": z.object({ passing: passingId }),
  "run-split": z.object({ run: runId }),
  "runs-joined": z.object({ start: passingId, finish: passingId }),
  "incident-noted": z.object({
    run: runId.nullable(),
    sector: sector.nullable(),
    kind: z.enum(["mistake", "dab", "near-miss", "crash", "puncture", "mechanical", "held-up"]),
    note: text.nullable(),
  }),
  "rating-given": z.object({ run: runId, aspect: text, score: z.number().int().min(1).max(10) }),
  "measure-taken": z.object({
    run: runId.nullable(),
    rider: id.nullable(),
    setup: id.nullable(),
    key: text,
    value: z.union([z.string(), z.number()]),
    unit: text.nullable(),
  }),
  "note-added": z.object({ run: runId.nullable(), note: text }),
  /** isStep: run times have another level from the next start on. */
  "condition-marked": z.object({ note: text, isStep: z.boolean().default(false) }),
  /** Always such a step. */
  "gate-moved": z.object({ gate: z.number().int().min(0), note: text }),
  "course-held": z.object({ reason: text }),
  "course-opened": z.object({}),
  "times-imported": z.object({ file: text, rows: z.array(importedRow) }),
  /**
   * Another day begins: the next `entries` entries are that day's own session, recorded on `host`.
   * day: 1, 2, ...; the first day's entries stand before the first of these.
   */
  "session-merged": z.object({
    day: z.number().int().min(0),
    name: text,
    date: text,
    host: text,
    entries: z.number().int().min(0),
  }),
  "session-closed": z.object({}),
  "session-reopened": z.object({}),
  /** Takes one earlier entry back; taking back an entry-undone brings that entry in again. */
  "entry-undone": z.object({ seq: z.number().int().positive() }),
} as const;

export type EntryType = keyof typeof bodies;
export type Body<T extends EntryType> = z.infer<(typeof bodies)[T]>;
/** What an entry says: its type and the body of that type. */
export type Content = {
  readonly [T in EntryType]: { readonly type: T; readonly body: Body<T> };
}[EntryType];

/** True if `type` is a type of entry that this program knows. */
export function isEntryType(type: string): type is EntryType {
  return Object.hasOwn(bodies, type);
}
