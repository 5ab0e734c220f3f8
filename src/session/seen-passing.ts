// Every passing that was seen or keyed, with where it was and when, before any matching.
import type { ForeignLine } from "../domain/foreign-line.ts";
import type { PassingSource, PassingTiming } from "../domain/passing.ts";
import type { BoxId, Gate, RiderId } from "../domain/session.ts";
import { sessionUs } from "../domain/time.ts";
import { looksWrong } from "../match/passing-shape.ts";
import type { EventMessage } from "../protocol/message.ts";
import { boxInstants } from "./box-instant.ts";
import type { Course } from "./course.ts";
import {
  anchorsOn,
  type BootEvidence,
  type Decision,
  type Fold,
  type StoredEvent,
} from "./evidence.ts";
import { gatePartsOf, stepOf } from "./gate-parts.ts";
import { itemsOf } from "./growing.ts";
import { boxPassingId } from "./passing-id.ts";

/** One passing before matching. */
export interface SeenPassing extends PassingTiming {
  readonly passingId: string;
  readonly entrySeq: number;
  readonly day: number;
  readonly source: PassingSource;
  readonly box: BoxId | null;
  readonly boot: number | null;
  readonly boxSeq: number | null;
  /** Gates that it may be at; none for a box that isn't on the sheet. */
  readonly gates: readonly number[];
  readonly tag: string | null;
  readonly keyedRider: RiderId | null;
  readonly blockedS: number | null;
  readonly pulses: number | null;
  readonly looksWrong: boolean;
}

/** What the beam's clear line says of one broken beam. */
interface Shaped {
  readonly event: StoredEvent;
  readonly blockedS: number | null;
  readonly pulses: number | null;
}

const shapes = new WeakMap<
  readonly StoredEvent[],
  { readonly length: number; readonly shaped: readonly Shaped[] }
>();

/** How long a blocked beam was blocked at least, s, while it is still blocked. */
const BLOCKED_S = 10;

function shapedOf(boot: BootEvidence): readonly Shaped[] {
  const { shared, length } = boot.events.list;
  const known = shapes.get(shared);
  if (known?.length === length) return known.shaped;
  const events = itemsOf(boot.events.list);
  const sorted = events.toSorted((a, b) => a.message.seq - b.message.seq);
  const shaped: Shaped[] = [];
  let breakAt = -1;
  for (const event of sorted) {
    const { kind, atUs, aux } = event.message;
    if (kind === "B" || kind === "T" || kind === "M") {
      if (kind === "B") breakAt = shaped.length;
      shaped.push({ event, blockedS: null, pulses: null });
      continue;
    }
    const broken = shaped[breakAt];
    if (broken === undefined || atUs < broken.event.message.atUs) continue;
    const blockedS = (atUs - broken.event.message.atUs) / 1e6;
    if (kind === "C") shaped[breakAt] = { ...broken, blockedS, pulses: aux };
    // Its first edge was taken for a passing; it has been blocked ever since.
    else if (kind === "X" && blockedS === 0) {
      shaped[breakAt] = { ...broken, blockedS: BLOCKED_S, pulses: 1 };
    }
  }
  shapes.set(shared, { length, shaped });
  return shaped;
}

const SOURCES: Readonly<Partial<Record<EventMessage["kind"], PassingSource>>> = {
  B: "beam",
  T: "transponder",
  M: "button",
};

function ofBox(
  fold: Fold,
  day: number,
  course: Course,
  boot: BootEvidence,
  { event, blockedS, pulses }: Shaped,
): SeenPassing | null {
  const { message, entrySeq, host } = event;
  const source = SOURCES[message.kind];
  const [first, ...others] = boxInstants(boot, message.atUs, host, anchorsOn(fold, day));
  if (source === undefined || first === undefined) return null;
  const receiver = receiverOf(course, message.box);
  return {
    passingId: boxPassingId(day, message.box, message.boot, message.seq),
    entrySeq,
    day,
    source,
    box: message.box,
    boot: message.boot,
    boxSeq: message.seq,
    boxUs: message.atUs,
    clock: `${receiver?.name ?? message.box} ${String(message.boot)}`,
    gates: gatesOf(course.gates, message.box),
    instants: [first, ...others],
    gateParts: [
      ...gatePartsOf(source, blockedS),
      ...(receiver === undefined ? [] : [stepOf(receiver.resolutionS)]),
    ],
    tag: message.tag,
    keyedRider: null,
    blockedS,
    pulses,
    looksWrong: source === "beam" && looksWrong(blockedS, pulses),
  };
}

/** The receiver with lines of its own and a clock of its own that stands for the box. */
function receiverOf({ lines }: Course, box: BoxId): ForeignLine | undefined {
  return lines.find(({ clock, boxes }) => clock === "device" && Object.values(boxes).includes(box));
}

function gatesOf(gates: readonly Gate[], box: BoxId): readonly number[] {
  return gates.flatMap((gate, i) => (gate.box === box ? [i] : []));
}

function keyed(
  fold: Fold,
  course: Course,
  { entry, day }: Decision,
  note: (text: string) => void,
): SeenPassing | null {
  if (entry.type !== "passing-keyed") return null;
  const { gate, keyedMonoUs, typedAtUs, rider, uncertaintyS } = entry.body;
  const anchorUs = anchorsOn(fold, day).get(entry.host) ?? 0;
  const at = typedAtUs ?? (keyedMonoUs === null ? null : keyedMonoUs + anchorUs);
  if (at === null || gate >= course.gates.length) {
    const why = at === null ? "has no time" : `is at gate ${String(gate)}, which isn't there`;
    note(`entry ${String(entry.seq)}: the passing keyed ${why}`);
    return null;
  }
  return {
    passingId: `hand:${String(entry.seq)}`,
    entrySeq: entry.seq,
    day,
    source: "hand",
    box: null,
    boot: null,
    boxSeq: null,
    boxUs: null,
    clock: null,
    gates: [gate],
    instants: [
      {
        at: sessionUs(at),
        host: typedAtUs === null ? entry.host : null,
        uncertaintyS: 0,
        leastTripS: 0,
        isProvisional: false,
        isRough: false,
      },
    ],
    gateParts: [{ kind: "press", halfWidthS: null, uncertaintyS }],
    tag: null,
    keyedRider: rider,
    blockedS: null,
    pulses: null,
    looksWrong: false,
  };
}

/**
 * Every passing of one day, in no order.
 *
 * @param course - that day's
 * @param holding - that day's decisions that hold
 */
export function seenPassings(
  fold: Fold,
  day: number,
  course: Course,
  holding: readonly Decision[],
  note: (text: string) => void,
): readonly SeenPassing[] {
  const seen: SeenPassing[] = [];
  for (const box of fold.boxes.values()) {
    if (box.day !== day) continue;
    for (const boot of box.boots.values()) {
      for (const shaped of shapedOf(boot)) {
        const passing = ofBox(fold, box.day, course, boot, shaped);
        if (passing !== null) seen.push(passing);
      }
    }
  }
  for (const decision of holding) {
    const passing = keyed(fold, course, decision, note);
    if (passing !== null) seen.push(passing);
  }
  return seen;
}
