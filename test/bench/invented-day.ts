// An invented day of laps: its sheet, what its three boxes say of each lap, and everything of it as
// journal rows. Used by the benches that need a session or bytes.
import { fixPlan } from "../../src/advisor/fix-plan.ts";
import { sessionEntries } from "../../src/app/make-session.ts";
import type { Fresh } from "../../src/app/session-file.ts";
import { seededRandom } from "../../src/domain/seeded.ts";
import type { Sheet } from "../../src/domain/session.ts";
import { boxUs, type HostUs, hostUs } from "../../src/domain/time.ts";
import type { Content } from "../../src/journal/content.ts";
import { encodeBoxLine } from "../../src/protocol/encode.ts";
import type { BoxMessage, BoxRole, EventMessage } from "../../src/protocol/message.ts";
import { readSheet } from "../../src/sheet/session-sheet.ts";

/** A run of a minute and the way back up: longer than a shuttle takes, so that 400 laps are 10 h. */
export const LAP_US = 90_000_000;
/** Box clock minus the laptop's, the same for every box here; no box clock is ever below zero. */
export const BOX_AHEAD_US = 1_000_000_000_000;
export const BOOT = 0x12;
/** A clock question a box every so often, as the recorder asks. */
const EXCHANGE_US = 5_000_000;
const RADIO_US = 2000;
/** From the clear line to the next heartbeat, on average. */
const BEAT_US = 1_000_000;
/** Runs on one set-up before it is swapped. */
const RUNS_A_SWAP = 2;

interface Box {
  readonly id: string;
  readonly role: BoxRole;
  /** After the start, s; the ends scatter from run to run. */
  readonly afterS: number;
}

const BOXES: readonly Box[] = [
  { id: "S1", role: "S", afterS: 0 },
  { id: "P1", role: "P1", afterS: 25 },
  { id: "F1", role: "F", afterS: 60 },
];

export function inventedSheet(plannedRuns: number): Sheet {
  const text = `
[session]
name = "Foam insert in the rear tyre"
date = 2026-05-09
zone = "UTC"
stretch = "Lantern bank, invented"
expected_run_s = 60
margin_s = 0.8
planned_runs = ${String(plannedRuns)}
seed = 7
[[gates]]
role = "start"
box = "S1"
[[gates]]
role = "split"
box = "P1"
sector = "Roots"
[[gates]]
role = "finish"
box = "F1"
sector = "Gully"
[[riders]]
id = "R1"
name = "Rider one"
[[setups]]
id = "A"
name = "No insert"
baseline = true
[[setups]]
id = "B"
name = "Foam insert"
from = "A"
`;
  return readSheet(text, "bench.toml", { zone: "UTC", date: "2026-05-09", seed: 7 });
}

/** Run time of a lap, s: its own to the millisecond, the middle of one, so that it can be found. */
export function lapTimeS(lap: number): number {
  const random = seededRandom(1000 + lap);
  const scatter = random() + random() + random() - 1.5;
  return Math.round((60 + 1.2 * scatter + 0.6 * Number(isOnB(lap))) * 1000) / 1000 + 0.00025;
}

function isOnB(lap: number): boolean {
  return Math.floor(lap / RUNS_A_SWAP) % 2 === 1;
}

/**
 * Everything that the boxes send of one lap: beam broken and clear again at start, split, finish.
 *
 * @param lap - from 0; the numbers of the events follow from it
 * @param beganAt - start of lap 0 on the laptop's monotonic clock
 */
export function lapEvents(lap: number, beganAt: HostUs): readonly EventMessage[] {
  const startUs = beganAt + BOX_AHEAD_US + lap * LAP_US;
  const wholeS = lapTimeS(lap);
  return BOXES.flatMap(({ id, role, afterS }) => {
    const atUs = Math.round(startUs + (afterS / 60) * wholeS * 1e6);
    const of = { box: id, boot: BOOT, role, tag: null, batteryMv: 3760, beamPercent: 98 };
    const seq = 2 * lap + 1;
    const broken: EventMessage = {
      ...{ ...of, type: "event", seq, kind: "B", atUs: boxUs(atUs), aux: 0 },
    };
    const clear: EventMessage = {
      ...{ ...of, type: "event", seq: seq + 1, kind: "C", atUs: boxUs(atUs + 240_000), aux: 3 },
    };
    return [broken, clear];
  });
}

/** What every box says when it is asked who it is. */
export function hellos(now: HostUs, lap: number): readonly BoxMessage[] {
  return BOXES.map(({ id, role }) => ({
    ...{ type: "boot", box: id, boot: BOOT, role, nowUs: boxUs(now + BOX_AHEAD_US) },
    ...{ oldestSeq: 2 * lap + 1, nextSeq: 2 * lap + 1, firmware: "1.0.0", resolutionNs: 500 },
  }));
}

export function linesOf(messages: readonly BoxMessage[]): string {
  return messages.map((message) => `${encodeBoxLine(message)}\n`).join("");
}

export interface DayRows {
  readonly sheet: Sheet;
  /** Port that everything came in on. */
  readonly port: string;
  /** Start of lap 0; everything else follows from it. */
  readonly beganAt: HostUs;
  /** Laps that the day lasts: clock questions and swaps are of them all. */
  readonly laps: number;
  /** Laps whose passings are in it. */
  readonly heard: number;
}

/** The day as the recorder and the operator would have written it, in order. */
export function dayRows({ sheet, port, beganAt, laps, heard }: DayRows): readonly Fresh[] {
  const rows: Fresh[] = [];
  const at = (us: number, content: Content): void => {
    rows.push({ ...content, monoUs: hostUs(Math.round(us)) });
  };
  const early = beganAt - LAP_US;
  for (const content of sessionEntries(sheet, fixPlan(sheet))) at(early, content);
  at(early, { type: "recorder-started", body: { ports: [port], pid: 1 } });
  at(early, { type: "port-opened", body: { port } });
  for (const message of hellos(hostUs(early), 0)) at(early, heardLine(port, message));
  const ends = beganAt + laps * LAP_US;
  for (let us = beganAt - LAP_US / 2; us < ends; us += EXCHANGE_US) {
    for (const [i, { id }] of BOXES.entries()) {
      const t1Us = us + i * 1_000_000;
      const t2Us = t1Us + RADIO_US + BOX_AHEAD_US;
      at(t1Us + 2 * RADIO_US + 100, {
        type: "clock-exchanged",
        body: {
          ...{ box: id, boot: BOOT, port, t1Us, t2Us, t3Us: t2Us + 100 },
          t4Us: t1Us + 2 * RADIO_US + 100,
        },
      });
    }
  }
  for (let lap = 0; lap < laps; lap += 1) {
    if (lap % RUNS_A_SWAP === 0) {
      const setup = isOnB(lap) ? "B" : "A";
      const body = { rider: "R1", setup, minutes: null, checked: true };
      at(beganAt + lap * LAP_US - 5_000_000, { type: "setup-swapped", body });
    }
    if (lap >= heard) continue;
    for (const event of lapEvents(lap, beganAt)) {
      const heardUs = event.atUs - BOX_AHEAD_US + RADIO_US;
      at(heardUs, heardLine(port, event));
      if (event.kind === "C") at(heardUs + BEAT_US, heardLine(port, beatAfter(event)));
    }
  }
  return rows.sort((a, b) => (a.monoUs ?? 0) - (b.monoUs ?? 0));
}

/** The heartbeat that comes next: it tells of numbers given out since the last one, so it is kept. */
function beatAfter({ box, boot, seq, atUs }: EventMessage): BoxMessage {
  const counts = { batteryMv: 3760, beamPercent: 98, glitches: 0, overwritten: 0, badInput: 0 };
  const nowUs = boxUs(atUs + BEAT_US);
  return { type: "heartbeat", box, boot, nowUs, oldestSeq: seq + 1, nextSeq: seq + 1, ...counts };
}

function heardLine(port: string, message: BoxMessage): Content {
  const body = { port, raw: encodeBoxLine(message), decoded: { ...message }, fault: null };
  return { type: "line-received", body };
}
