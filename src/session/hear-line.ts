// What a line from a box adds to the evidence; called by the fold for each stored line.
import type { ClockExchange } from "../domain/exchange.ts";
import type { SessionUs } from "../domain/time.ts";
import { hex4 } from "../protocol/crc.ts";
import type { BoxMessage, EventMessage } from "../protocol/message.ts";
import { parseLine } from "../protocol/parse-box-line.ts";
import {
  type Arrival,
  type BootEvidence,
  type BoxEvidence,
  boxKey,
  type Fold,
  newBoot,
  newBox,
  type StoredEvent,
} from "./evidence.ts";
import { found, grown, indexed, nothingYet } from "./growing.ts";

/** Newest unreadable lines kept for the screen. */
const RECENT = 20;

/** A line that could not be read, or that the recorder refused: counted, the newest kept. */
function withFault(fold: Fold, arrival: Arrival, text: string): Fold {
  const recent = [...fold.faults.recent, { at: arrival.at, port: arrival.port, text }];
  const unreadable = fold.faults.unreadable + 1;
  return { ...fold, faults: { ...fold.faults, unreadable, recent: recent.slice(-RECENT) } };
}

/** The instant on the box's clock at which a line was sent, or null if it does not say. */
function sentAtUs(message: BoxMessage): number | null {
  switch (message.type) {
    case "boot":
    case "heartbeat":
      return message.nowUs;
    case "event":
      return message.atUs;
    case "reply":
      return message.t3Us;
    case "gone":
      return null;
  }
}

/** The box and boot that a line belongs to; null if a lower boot appears that was never heard. */
function place(
  fold: Fold,
  day: number,
  id: string,
  bootNo: number,
  at: SessionUs,
): { readonly box: BoxEvidence; readonly boot: BootEvidence } | null {
  const box = fold.boxes.get(boxKey(day, id)) ?? newBox(id, day, bootNo, at);
  const known = box.boots.get(bootNo);
  if (known !== undefined) return { box, boot: known };
  if (bootNo < box.current) return null;
  const isRestart = box.boots.size > 0;
  return {
    box: {
      ...box,
      current: bootNo,
      restarts: box.restarts + (isRestart ? 1 : 0),
      edge: { seq: 0, isBlocked: false },
    },
    boot: newBoot(bootNo),
  };
}

function put(fold: Fold, box: BoxEvidence, boot: BootEvidence, at: SessionUs): Fold {
  const boots = new Map(box.boots).set(boot.boot, boot);
  const heard = { ...box, boots, lastHeardAt: at > box.lastHeardAt ? at : box.lastHeardAt };
  return { ...fold, boxes: new Map(fold.boxes).set(boxKey(box.day, box.box), heard) };
}

function isSameEvent(a: EventMessage, b: EventMessage): boolean {
  return (
    a.atUs === b.atUs &&
    a.kind === b.kind &&
    a.role === b.role &&
    a.aux === b.aux &&
    a.tag === b.tag
  );
}

/** Least delay seen is nearest to the truth: no line arrives before it was sent. */
function withDelay(boot: BootEvidence, message: BoxMessage, arrival: Arrival): BootEvidence {
  const sentUs = sentAtUs(message);
  if (sentUs === null) return boot;
  const delayUs = arrival.monoUs - sentUs;
  const least = boot.leastDelayUs.get(arrival.host);
  if (least !== undefined && least <= delayUs) return boot;
  return { ...boot, leastDelayUs: new Map(boot.leastDelayUs).set(arrival.host, delayUs) };
}

function afterEvent(box: BoxEvidence, message: EventMessage, at: SessionUs): BoxEvidence {
  const isNewest = message.boot === box.current && message.seq > box.edge.seq;
  const isEdge = message.kind !== "T" && message.kind !== "M";
  return {
    ...box,
    role: message.role,
    battMv: message.batteryMv,
    beamPct: message.beamPercent,
    battery: batteryAfter(box.battery, at, message.batteryMv),
    edge: isNewest && isEdge ? { seq: message.seq, isBlocked: message.kind === "X" } : box.edge,
  };
}

/** Whose passings these are can't be told any more, until the box restarts under another number. */
function disputed(fold: Fold, { box: id, boot }: EventMessage, day: number): Fold {
  const box = fold.boxes.get(boxKey(day, id));
  if (box === undefined) return fold;
  const boxes = new Map(fold.boxes).set(boxKey(day, id), { ...box, disputedBoot: boot });
  return { ...fold, boxes };
}

/** What the recorder kept but refused: a line that reads well is an event of a box in dispute. */
function hearRefused(fold: Fold, raw: string, fault: string, arrival: Arrival): Fold {
  const read = parseLine(raw);
  const known = withFault(fold, arrival, fault);
  return read.ok && read.value.type === "event" ? disputed(known, read.value, arrival.day) : known;
}

function hearEvent(
  fold: Fold,
  box: BoxEvidence,
  boot: BootEvidence,
  message: EventMessage,
  arrival: Arrival,
): Fold {
  const known = found(boot.events, message.seq);
  if (known !== undefined) {
    const heard = put(fold, box, boot, arrival.at);
    if (isSameEvent(known.message, message)) {
      const duplicates = fold.faults.duplicates + 1;
      return { ...heard, faults: { ...fold.faults, duplicates } };
    }
    const key = `${message.box}:${hex4(message.boot)}:${String(message.seq)}`;
    return anomaly(
      disputed(heard, message, arrival.day),
      `two different events are called ${key}: the second is not counted`,
    );
  }
  const stored: StoredEvent = { entrySeq: arrival.entrySeq, host: arrival.host, message };
  const events = indexed(boot.events, message.seq, stored);
  const received = grown(fold.received, { port: arrival.port, message });
  return put(
    { ...fold, received },
    afterEvent(box, message, arrival.at),
    { ...boot, events },
    arrival.at,
  );
}

/** Notes something that made no sense in its place. */
export function anomaly(fold: Fold, text: string): Fold {
  return { ...fold, anomalies: grown(fold.anomalies, text) };
}

/**
 * Takes in one stored line.
 *
 * @param raw - from ':' up to, not including, the line feed
 * @param fault - why the recorder could not read it or would not count it; null if it did
 */
export function hearLine(fold: Fold, raw: string, fault: string | null, arrival: Arrival): Fold {
  if (fault !== null) return hearRefused(fold, raw, fault, arrival);
  const read = parseLine(raw);
  if (!read.ok) return withFault(fold, arrival, read.error);
  const message = read.value;
  const placed = place(fold, arrival.day, message.box, message.boot, arrival.at);
  if (placed === null) {
    return anomaly(
      fold,
      `box ${message.box} spoke of boot ${hex4(message.boot)} after a later one: not counted`,
    );
  }
  const { box } = placed;
  const boot = withDelay(placed.boot, message, arrival);
  switch (message.type) {
    case "event":
      return hearEvent(fold, box, boot, message, arrival);
    case "boot":
    case "heartbeat": {
      const stored = { port: arrival.port, message };
      const received = boot.hasSaidHeld ? fold.received : grown(fold.received, stored);
      const health =
        message.type === "boot"
          ? { role: message.role }
          : {
              battMv: message.batteryMv,
              beamPct: message.beamPercent,
              glitches: message.glitches,
              battery: batteryAfter(box.battery, arrival.at, message.batteryMv),
              heartbeats: rhythmOf(box, message.boot, arrival),
            };
      const newestHeld = { ...stored, place: received.length };
      const told = { ...boot, hasSaidHeld: true, newestHeld };
      return put({ ...fold, received }, { ...box, ...health }, told, arrival.at);
    }
    case "gone": {
      const range = { fromSeq: message.fromSeq, toSeq: message.toSeq, at: arrival.at };
      const received = grown(fold.received, { port: arrival.port, message });
      return put({ ...fold, received }, box, { ...boot, gone: [...boot.gone, range] }, arrival.at);
    }
    case "reply":
      return put(fold, box, boot, arrival.at);
  }
}

/** chosen: a minute apart tells how fast a battery falls; four hours of them are enough. */
const READING_US = 60e6;
const READINGS_KEPT = 240;

function batteryAfter(
  known: BoxEvidence["battery"],
  at: SessionUs,
  level: number,
): BoxEvidence["battery"] {
  const last = known.at(-1);
  const isSoon = last !== undefined && at - last.at < READING_US;
  return isSoon ? known : [...known, { at, level }].slice(-READINGS_KEPT);
}

/** Gaps that say how often a box speaks. chosen: as many as the recorder keeps of each boot. */
const GAPS_KEPT = 8;

function rhythmOf(
  { heartbeats: last }: BoxEvidence,
  boot: number,
  { port, at }: Arrival,
): BoxEvidence["heartbeats"] {
  const isSame = last?.boot === boot && last.port === port;
  const before = isSame ? last.gapsS : [];
  const isEnough = before.length >= GAPS_KEPT;
  const gapsS = isSame && !isEnough ? [...before, (at - last.at) / 1e6] : before;
  return { boot, port, at, gapsS };
}

/** Takes in one answered clock question. */
export function hearExchange(fold: Fold, exchange: ClockExchange, arrival: Arrival): Fold {
  const placed = place(fold, arrival.day, exchange.box, exchange.boot, arrival.at);
  if (placed === null) {
    return anomaly(fold, `box ${exchange.box} answered for a boot before its newest: not counted`);
  }
  const { box, boot } = placed;
  const key = `${arrival.host} ${exchange.port}`;
  const group = boot.exchanges.get(key) ?? {
    host: arrival.host,
    port: exchange.port,
    exchanges: nothingYet(),
  };
  const longer = { ...group, exchanges: grown(group.exchanges, exchange) };
  const exchanges = new Map(boot.exchanges).set(key, longer);
  const exchangeCount = boot.exchangeCount + 1;
  return put(fold, box, { ...boot, exchanges, exchangeCount }, arrival.at);
}
