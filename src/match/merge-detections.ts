// One passing from everything that saw it: transponder and beam, two trips of one beam, a key
// pressed for a beam that worked after all. First step of the matcher.
import type { PassingSource } from "../domain/passing.ts";
import type { RiderId } from "../domain/session.ts";
import type { SessionUs } from "../domain/time.ts";
import type { Detection, NamedAt } from "./detection.ts";

/** A transponder seen this close to a broken beam names that beam. */
const TAG_US = 2_000_000;
/** A second trip of the same gate this soon is the same passing. */
const DOUBLE_US = 3_000_000;

/** What is trusted more for the time stands higher. */
const TRUST: Readonly<Record<PassingSource, number>> = {
  beam: 4,
  transponder: 3,
  button: 2,
  hand: 1,
  import: 0,
};

/** One passing, with everything else that saw it. */
export interface Merged {
  /** Gives the time. */
  readonly detection: Detection;
  readonly at: SessionUs;
  readonly gates: readonly number[];
  /** Named by transponder or key. */
  readonly taggedRider: RiderId | null;
  /** Transponders of nobody on the sheet, seen with it. */
  readonly unknownTags: readonly string[];
  /** Named afterwards by the operator. */
  readonly assigned: NamedAt | null;
  /** Smallest entry seq of all that saw it: the one that opened the run, whatever came later. */
  readonly openedBy: number;
  /** The others: passings that count as doubles of this one. */
  readonly doubles: readonly string[];
  /** True if a second trip of the same kind was merged into it. */
  readonly isDoubleTrip: boolean;
  /** A key was pressed for it; the next key is for somebody else. */
  readonly isKeyed: boolean;
}

function merged(detection: Detection): Merged {
  return {
    detection,
    at: detection.at,
    gates: detection.gates,
    taggedRider: detection.taggedRider,
    unknownTags: detection.unknownTag === null ? [] : [detection.unknownTag],
    assigned: detection.assigned,
    openedBy: detection.entrySeq,
    doubles: [],
    isDoubleTrip: false,
    isKeyed: detection.source === "hand",
  };
}

function absorb(winner: Merged, loser: Merged): Merged {
  const shared = winner.gates.filter((gate) => loser.gates.includes(gate));
  return {
    ...winner,
    gates: shared.length > 0 ? shared : winner.gates,
    taggedRider: winner.taggedRider ?? loser.taggedRider,
    unknownTags: [...new Set([...winner.unknownTags, ...loser.unknownTags])],
    assigned: winner.assigned ?? loser.assigned,
    openedBy: Math.min(winner.openedBy, loser.openedBy),
    doubles: [...winner.doubles, loser.detection.passingId, ...loser.doubles],
    isDoubleTrip: winner.isDoubleTrip || winner.detection.source === loser.detection.source,
    isKeyed: winner.isKeyed || loser.isKeyed,
  };
}

/** By time; ties by place and name, so that the order of arrival never matters. */
export function byTime(a: Detection, b: Detection): number {
  return (
    a.at - b.at ||
    (a.gates[0] ?? -1) - (b.gates[0] ?? -1) ||
    (a.passingId < b.passingId ? -1 : a.passingId > b.passingId ? 1 : 0)
  );
}

function sharesGate(a: { gates: readonly number[] }, b: { gates: readonly number[] }): boolean {
  return a.gates.some((gate) => b.gates.includes(gate));
}

function riderOf(m: Merged): RiderId | null {
  return m.assigned?.rider ?? m.taggedRider;
}

/** A transponder's passing and a broken beam near it, by place in the list. */
interface Near {
  readonly tag: number;
  readonly beam: number;
  readonly awayUs: number;
}

function nearBeams(sorted: readonly Detection[]): readonly Near[] {
  const near: Near[] = [];
  sorted.forEach((tag, i) => {
    if (tag.source !== "transponder") return;
    for (const step of [-1, 1]) {
      for (let j = i + step; ; j += step) {
        const other = sorted[j];
        const awayUs = other === undefined ? TAG_US + 1 : Math.abs(other.at - tag.at);
        if (other === undefined || awayUs > TAG_US) break;
        if (other.source === "beam" && sharesGate(other, tag))
          near.push({ tag: i, beam: j, awayUs });
      }
    }
  });
  return near.sort((a, b) => a.awayUs - b.awayUs || a.tag - b.tag || a.beam - b.beam);
}

/**
 * Puts transponders to beams at the same gate, the nearest pairs first, so that of two riders close
 * together each gets their own; a rider read again stays with the beam that was named first. Those
 * without a beam stay by themselves.
 */
function withTags(sorted: readonly Detection[]): readonly Merged[] {
  const all = sorted.map(merged);
  if (!sorted.some((d) => d.source === "transponder")) return all;
  const taken = new Set<number>();
  /** By rider, the beams named so far. */
  const beams = new Map<RiderId, number[]>();
  for (const { tag, beam: nearest } of nearBeams(sorted)) {
    const own = all[tag];
    if (own === undefined || taken.has(tag)) continue;
    const rider = riderOf(own);
    const named = rider === null ? [] : (beams.get(rider) ?? []);
    const again = named.find((j) => Math.abs((sorted[j]?.at ?? Infinity) - own.at) <= TAG_US);
    const place = again ?? nearest;
    const beam = all[place];
    if (beam === undefined) continue;
    const before = riderOf(beam);
    if (before !== null && rider !== null && before !== rider) continue;
    all[place] = absorb(beam, own);
    taken.add(tag);
    if (rider !== null && again === undefined) beams.set(rider, [...named, place]);
  }
  return all.filter((_, i) => !taken.has(i));
}

/**
 * Merges what belongs to one passing. The most trusted source gives the time, of equals the first;
 * passings of two named riders are never merged, nor are two keys: a bouncing key is caught where it
 * is read, so each one is a person's word that somebody passed. Neither is what the operator promoted:
 * that it was a bike of its own is what was said.
 *
 * @param detections - sorted by `byTime`, none of them struck out
 */
export function mergeDetections(detections: readonly Detection[]): readonly Merged[] {
  const kept: Merged[] = [];
  /** Index in `kept` of the newest passing at each gate. */
  const newest = new Map<number, number>();
  for (const next of withTags(detections)) {
    const at = Math.max(...next.gates.map((gate) => newest.get(gate) ?? -1), -1);
    const before = kept[at];
    const isNear = before !== undefined && next.at - before.at <= DOUBLE_US;
    const names = before === undefined ? [] : [riderOf(before), riderOf(next)];
    const isTwoRiders = names[0] !== null && names[1] !== null && names[0] !== names[1];
    const isTwoKeys = before?.isKeyed === true && next.isKeyed;
    const isSaidToBeAnother = next.detection.promotedAt !== null;
    if (!isNear || isTwoRiders || isTwoKeys || isSaidToBeAnother) {
      for (const gate of next.gates) newest.set(gate, kept.length);
      kept.push(next);
    } else if (TRUST[next.detection.source] > TRUST[before.detection.source]) {
      kept[at] = absorb(next, before);
    } else {
      kept[at] = absorb(before, next);
    }
  }
  return kept.sort((a, b) => byTime(a.detection, b.detection));
}
