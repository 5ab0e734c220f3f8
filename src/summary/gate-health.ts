// How each gate's box is: heard or quiet, its role, battery, beam, clock. Asked by the alerts, by the
// heading, by the console's gates and by the gate check before the first run.
import type { BoxHealth } from "../domain/equipment.ts";
import type { Passing } from "../domain/passing.ts";
import type { BoxId, Gate } from "../domain/session.ts";
import type { SessionUs } from "../domain/time.ts";
import type { Summary } from "./summary.ts";

/** On a cable a gate without a line for this long is quiet, s: more than the recorder ever thins out. */
export const QUIET_S = 10;
/** Heartbeats on a cable, s; of a box whose own are not known yet. */
const CABLE_GAP_S = 2;
/** On the radio a heartbeat comes up to so much later than usual. */
const JITTER = 1.2;
/** chosen: one or two lost lines are a radio's everyday; three in a row are not. gate-health.test.ts. */
const MISSED = 3;

/** From this long without a line the box is quiet, s: ten on a cable, three heartbeats on the radio. */
function quietAfterS(box: Pick<BoxHealth, "usualGapS">): number {
  return Math.max(QUIET_S, MISSED * JITTER * (box.usualGapS ?? CABLE_GAP_S));
}

/** True if its last line is no older than its usual ones let expect; false also before its first line. */
export function isHeard(box: BoxHealth | undefined, now: SessionUs): boolean {
  // Nothing can be told of a receiver that speaks only when something passes.
  if (box?.isMute === true) return box.lastHeardAt !== null;
  return box?.lastHeardAt != null && now - box.lastHeardAt < quietAfterS(box) * 1e6;
}

/**
 * True while no heartbeat is overdue. Stricter than `isHeard`: on a slow radio a gate is not called
 * quiet for the first one missed, but nothing may rest on it any more.
 */
export function isPunctual(box: BoxHealth | undefined, now: SessionUs): boolean {
  if (box?.lastHeardAt == null || box.isMute === true) return false;
  const dueS = Math.max(QUIET_S, JITTER * (box.usualGapS ?? CABLE_GAP_S));
  return now - box.lastHeardAt < dueS * 1e6;
}

/**
 * What follows on how long a gate has been quiet: `(since 10:42, heard every 15 s before): radio?
 * battery?`. What is looked at first depends on the way it came.
 *
 * @param since - clock time of its last line
 */
export function quietHint({ usualGapS }: Pick<BoxHealth, "usualGapS">, since: string): string {
  const path = quietAfterS({ usualGapS: usualGapS ?? null }) > QUIET_S ? "radio" : "cable";
  const before = usualGapS == null ? "" : `, heard every ${String(Math.round(usualGapS))} s before`;
  return `(since ${since}${before}): ${path}? battery?`;
}

/** One lithium cell is all but empty below this, mV (common practice); a cell in use is 4.2 V at most. */
const LOW_CELL_MV = 3400;
const FULL_CELL_MV = 4250;
/** Four NiMH cells are all but empty below this, mV: 1.1 V each (common practice). */
const LOW_NIMH_MV = 4400;

/**
 * True if the battery is to be changed soon. What cells a box has is not told: above what one lithium
 * cell can have they are taken for four NiMH cells. A box that does not measure says 0.
 */
export function isBatteryLow(battMv: number | null): boolean {
  if (battMv === null || battMv <= 0) return false;
  return battMv < LOW_CELL_MV || (battMv > FULL_CELL_MV && battMv < LOW_NIMH_MV);
}

/**
 * A passing takes its own share of the heartbeat's interval: for this long after one the share says
 * nothing about the aim, s. chosen: one interval on the radio, two with jitter on a cable.
 */
const PASSED_S = 10;

/** True if the share of time in which the beam was seen is below `leastPct`, and no passing explains it. */
export function isBeamWeak(
  box: BoxHealth,
  passings: readonly Passing[],
  leastPct: number,
  now: SessionUs,
): boolean {
  if (box.beamPct === null || box.beamPct >= leastPct || box.isBlocked) return false;
  const last = newestAt(box.box, passings);
  return last === undefined || now - last.at - (last.blockedS ?? 0) * 1e6 > PASSED_S * 1e6;
}

/** Newest passing that a box saw itself in this session, whatever it came to. */
export function newestAt(box: BoxId, passings: readonly Passing[]): Passing | undefined {
  return passings.findLast((p) => p.box === box && p.state !== "old" && p.source !== "hand");
}

/** Name of each gate in riding order: `start`, `split 1`, `finish`. */
export function namedGates(gates: readonly Gate[]): readonly { gate: Gate; name: string }[] {
  let splits = 0;
  return gates.map((gate) => {
    if (gate.role !== "split") return { gate, name: gate.role };
    splits += 1;
    return { gate, name: `split ${String(splits)}` };
  });
}

/** Roles that the sheet gives a box, as a box says them; start and finish can be one box. */
function rolesOnSheet(box: BoxId, gates: readonly Gate[]): readonly string[] {
  return namedGates(gates).flatMap(({ gate, name }) => (gate.box === box ? [roleCode(name)] : []));
}

/** What the box says it is, if the sheet has it elsewhere; null if they agree or it has not said. */
export function strangeRole({ box, role }: BoxHealth, gates: readonly Gate[]): string | null {
  return role === null || rolesOnSheet(box, gates).includes(role) ? null : roleName(role);
}

/** `S`, `P1`, `F`. */
function roleCode(name: string): string {
  return name.startsWith("split ")
    ? `P${name.slice("split ".length)}`
    : name.charAt(0).toUpperCase();
}

/** `start (S)`, `split 1 (P1)`. */
export function roleName(role: string): string {
  const names: Readonly<Record<string, string>> = { S: "start", F: "finish" };
  return `${names[role] ?? `split ${role.slice(1)}`} (${role})`;
}

/** Boxes that are heard and stand at no gate of the sheet. */
export function unknownBoxes({ boxes, gates }: Summary): readonly BoxHealth[] {
  return boxes.filter(({ box }) => !gates.some((gate) => gate.box === box));
}
