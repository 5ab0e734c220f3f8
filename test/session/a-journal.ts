// Builds journals for the tests: an invented stretch with simulated boxes, entry by entry.
import { NO_HOURS } from "../../src/domain/day-hours.ts";
import { NO_GEAR } from "../../src/domain/gear.ts";
import type { Rider, Setup } from "../../src/domain/session.ts";
import { boxUs, hostUs } from "../../src/domain/time.ts";
import type { Body, Content } from "../../src/journal/content.ts";
import type { Entry } from "../../src/journal/entry.ts";
import { encodeBoxLine } from "../../src/protocol/encode.ts";
import type { BoxMessage, BoxRole, EventKind } from "../../src/protocol/message.ts";

/** Wall clock at the laptop's monotonic zero. */
export const ANCHOR_US = Date.UTC(2026, 4, 9, 8) * 1000;

export const settings = {
  name: "Rear tyre insert, upper woods",
  date: "2026-05-09",
  zone: "Europe/Vienna",
  stretch: "Upper woods",
  expectedRunS: 130,
  lengthM: 900,
  dropM: 140,
  marginS: 0.8 as number | null,
  plannedRuns: 12 as number | null,
  days: 1,
  minutes: null as number | null,
  lapMinutes: null as number | null,
  spreadS: null,
  drift: "linear" as const,
  bands: "plan" as const,
  spreads: "each" as const,
  mainSetup: null,
  confidence: 0.95,
  seed: 7,
  travelMinS: 65,
  travelMaxS: 390,
  spreadDf: null as number | null,
  aspects: [] as string[],
  start: null as string | null,
};

export const R1: Rider = {
  id: "R1",
  name: "Rider one",
  tag: "A1",
  newTo: [],
  setups: null,
  plannedRuns: null,
};
export const R2: Rider = {
  id: "R2",
  name: "Rider two",
  tag: "B2",
  newTo: [],
  setups: null,
  plannedRuns: null,
};
export const A: Setup = {
  id: "A",
  name: "No insert",
  baseline: true,
  values: {},
  worthS: null,
  price: null,
  weightKg: null,
};
export const B: Setup = {
  id: "B",
  name: "Insert",
  baseline: false,
  values: {},
  worthS: null,
  price: null,
  weightKg: null,
};

/** A box: its clock stands `aheadS` ahead of the laptop's and runs `ppm` fast. */
export interface SimBox {
  readonly id: string;
  readonly role: BoxRole;
  readonly aheadS: number;
  readonly ppm: number;
  readonly boot: number;
}

export const S1: SimBox = { id: "S1", role: "S", aheadS: 1000, ppm: 40, boot: 18 };
export const P1: SimBox = { id: "P1", role: "P1", aheadS: 55, ppm: 5, boot: 3 };
export const F1: SimBox = { id: "F1", role: "F", aheadS: 20, ppm: -12, boot: 7 };

/** The box's own time at an instant, s since the laptop's zero. */
export function onBox(box: SimBox, atS: number): number {
  return Math.round((atS * (1 + box.ppm * 1e-6) + box.aheadS) * 1e6);
}

type Gates = Extract<Content, { type: "session-made" }>["body"]["gates"];

function gate(role: "start" | "split" | "finish", box: string | null): Gates[number] {
  return { role, box, sector: null, terrain: null };
}

export const twoGates = [gate("start", "S1"), gate("finish", "F1")];
export const threeGates = [gate("start", "S1"), gate("split", "P1"), gate("finish", "F1")];
export const loopGates = [gate("start", "S1"), gate("finish", "S1")];
export const handGates = [gate("start", null), gate("split", null), gate("finish", null)];

/** A session with nothing but course and settings said. */
export function madeBody(
  given: Body<"session-made">["settings"],
  gates: Gates,
): Body<"session-made"> {
  return {
    settings: given,
    gates: [...gates],
    swaps: [],
    hours: { ...NO_HOURS, breaks: [] },
    gear: { ...NO_GEAR, bikes: [], parts: [] },
    explored: null,
    lines: [],
  };
}

/** Writes entries one after the other; times are s since the laptop's zero. */
export class JournalWriter {
  readonly entries: Entry[] = [];
  private readonly seqs = new Map<string, number>();
  host = "laptop-1";
  anchorUs = ANCHOR_US;

  /** The seq of the entry written. */
  write(atS: number, content: Content): number {
    const seq = this.entries.length + 1;
    const monoUs = hostUs(Math.round(atS * 1e6));
    const atUs = Math.round(atS * 1e6) + this.anchorUs;
    const stamp = { atUs, monoUs, host: this.host, writer: "test", who: "test" };
    this.entries.push({ ...content, ...stamp, seq, version: 1 });
    return seq;
  }

  made(gates: Gates, riders: readonly Rider[] = [R1], given: Partial<typeof settings> = {}): this {
    this.write(0, { type: "session-made", body: madeBody({ ...settings, ...given }, gates) });
    for (const r of riders) {
      this.write(0, {
        type: "rider-added",
        body: { ...r, newTo: [...r.newTo], setups: null, plannedRuns: null },
      });
    }
    for (const s of [A, B]) this.write(0, { type: "setup-added", body: s });
    return this;
  }

  line(arrivedS: number, message: BoxMessage, port = "/dev/gates"): number {
    const raw = encodeBoxLine(message);
    const body = { port, raw, decoded: null, fault: null };
    return this.write(arrivedS, { type: "line-received", body });
  }

  /** An event of a box at `atS`; the seq of its entry. */
  event(
    box: SimBox,
    kind: EventKind,
    atS: number,
    more: { aux?: number; tag?: string; arrivedS?: number; seq?: number } = {},
  ): number {
    const key = `${box.id} ${String(box.boot)}`;
    const seq = more.seq ?? (this.seqs.get(key) ?? 0) + 1;
    this.seqs.set(key, Math.max(seq, this.seqs.get(key) ?? 0));
    return this.line(more.arrivedS ?? atS + 0.01, {
      type: "event",
      box: box.id,
      boot: box.boot,
      seq,
      role: box.role,
      kind,
      atUs: boxUs(onBox(box, atS)),
      aux: more.aux ?? 0,
      tag: more.tag ?? null,
      batteryMv: 3760,
      beamPercent: 98,
    });
  }

  /** A broken beam by itself. */
  beam(box: SimBox, atS: number, arrivedS = atS + 0.01): number {
    return this.event(box, "B", atS, { arrivedS });
  }

  /** A bike through a beam: break, and the clear line after it. */
  bike(box: SimBox, atS: number, blockedS = 0.25, pulses = 14): number {
    const seq = this.event(box, "B", atS);
    this.event(box, "C", atS + blockedS, { aux: pulses, arrivedS: atS + blockedS + 0.81 });
    return seq;
  }

  heartbeat(box: SimBox, atS: number, nextSeq = 1): number {
    return this.line(atS + 0.01, {
      type: "heartbeat",
      box: box.id,
      boot: box.boot,
      nowUs: boxUs(onBox(box, atS)),
      oldestSeq: 1,
      nextSeq,
      batteryMv: 3700,
      beamPercent: 97,
      glitches: 0,
      overwritten: 0,
      badInput: 0,
    });
  }

  /** Clock exchanges with a round trip of 4 ms, evenly split. */
  exchanges(box: SimBox, fromS: number, toS: number, everyS = 5): this {
    for (let t = fromS; t <= toS; t += everyS) {
      this.write(t + 0.004, {
        type: "clock-exchanged",
        body: {
          box: box.id,
          boot: box.boot,
          port: "/dev/gates",
          t1Us: Math.round(t * 1e6),
          t2Us: onBox(box, t + 0.002),
          t3Us: onBox(box, t + 0.002),
          t4Us: Math.round((t + 0.004) * 1e6),
        },
      });
    }
    return this;
  }

  /** A passing keyed by hand. */
  key(gateIndex: number, atS: number, rider: string | null = null): number {
    const keyedMonoUs = Math.round(atS * 1e6);
    const body = { gate: gateIndex, keyedMonoUs, typedAtUs: null, rider, uncertaintyS: 0.2 };
    return this.write(atS, { type: "passing-keyed", body });
  }

  mark(
    atS: number,
    run: number | string,
    mark: "warm-up" | "ok" | "void" | "dnf",
    sectors: number[] = [],
  ): number {
    const body = { run: String(run), mark, sectors, reason: mark === "ok" ? null : "test" };
    return this.write(atS, { type: "run-marked", body });
  }

  /** Another day: its mark, and what `ride` writes as that day's own. */
  nextDay(atS: number, ride: () => void, day = 1): this {
    const mark = { day, name: "", date: "2026-05-10", host: this.host, entries: 0 };
    const seq = this.write(atS, { type: "session-merged", body: mark });
    ride();
    const written = this.entries[seq - 1];
    if (written?.type !== "session-merged") throw new TypeError("the mark is where it was");
    const body = { ...mark, entries: this.entries.length - seq };
    this.entries[seq - 1] = { ...written, body };
    return this;
  }

  undo(atS: number, seq: number): number {
    return this.write(atS, { type: "entry-undone", body: { seq } });
  }
}
