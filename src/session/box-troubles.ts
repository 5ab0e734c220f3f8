// Spans of time in which a box could not be trusted: restarts, blocked beams, lost events. Runs that
// overlap one are flagged.
import { boxUs, type SessionUs } from "../domain/time.ts";
import { boxInstants } from "./box-instant.ts";
import type { Course } from "./course.ts";
import { anchorsOn, type BootEvidence, type BoxEvidence, type Fold } from "./evidence.ts";
import { found, itemsOf } from "./growing.ts";

/** Both ends on session time of one day; no end yet: null. */
export interface Trouble {
  readonly from: SessionUs;
  readonly to: SessionUs | null;
  readonly flag: string;
}

/** Where an instant of a boot's clock lies on session time; null where that cannot be told. */
type PlaceIn = (boot: BootEvidence, us: number) => SessionUs | null;

function gateName(course: Course, box: BoxEvidence): string {
  const gates = course.gates.flatMap((g, i) => (g.box === box.box ? [{ role: g.role, i }] : []));
  const [first] = gates;
  if (first === undefined) return "gate";
  return first.role === "split" ? `split ${String(first.i)}` : `${first.role} gate`;
}

function blocked(place: PlaceIn, name: string, boot: BootEvidence): Trouble[] {
  const edges = itemsOf(boot.events.list)
    .filter(({ message }) => message.kind === "X" || message.kind === "O")
    .sort((a, b) => a.message.seq - b.message.seq);
  return edges.flatMap(({ message }, i) => {
    if (message.kind !== "X") return [];
    const from = place(boot, message.atUs);
    const next = edges[i + 1]?.message;
    const to = next === undefined ? null : place(boot, next.atUs);
    return from === null ? [] : [{ from, to, flag: `${name} blocked during run` }];
  });
}

function lost(place: PlaceIn, name: string, boot: BootEvidence): Trouble[] {
  return boot.gone.flatMap((range) => {
    let missing = 0;
    for (let seq = range.fromSeq; seq <= range.toSeq && missing === 0; seq += 1) {
      if (found(boot.events, seq) === undefined) missing = seq;
    }
    if (missing === 0) return [];
    let before = 0;
    let after: { seq: number; atUs: number } | null = null;
    for (const { message } of itemsOf(boot.events.list)) {
      if (message.seq < missing) before = Math.max(before, message.atUs);
      if (message.seq > range.toSeq && (after === null || message.seq < after.seq)) after = message;
    }
    const from = place(boot, before);
    const to = after === null ? range.at : place(boot, after.atUs);
    return from === null ? [] : [{ from, to, flag: `events lost at the ${name}` }];
  });
}

/**
 * All troubles of one day's boxes that stand at a gate.
 *
 * @param course - that day's
 */
export function boxTroubles(fold: Fold, day: number, course: Course): readonly Trouble[] {
  const troubles: Trouble[] = [];
  const anchorsUs = anchorsOn(fold, day);
  const place: PlaceIn = (boot, us) => boxInstants(boot, boxUs(us), "", anchorsUs)[0]?.at ?? null;
  for (const box of fold.boxes.values()) {
    if (box.day !== day || !course.gates.some((gate) => gate.box === box.box)) continue;
    const name = gateName(course, box);
    let isFirst = true;
    for (const boot of box.boots.values()) {
      troubles.push(...blocked(place, name, boot), ...lost(place, name, boot));
      const at = isFirst ? null : place(boot, 0);
      const flag = `box ${box.box} restarted during run`;
      if (at !== null) troubles.push({ from: at, to: at, flag });
      isFirst = false;
    }
  }
  return troubles;
}

/** Flags of the troubles that a span of time overlaps. */
export function flagsWithin(
  troubles: readonly Trouble[],
  from: SessionUs,
  to: SessionUs,
): readonly string[] {
  const flags = troubles.flatMap((trouble) =>
    trouble.from < to && (trouble.to === null || trouble.to > from) ? [trouble.flag] : [],
  );
  return [...new Set(flags)];
}
