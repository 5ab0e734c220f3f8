// A line of a receiver that does not speak our protocol, made into an event of one of our boxes and
// into what it says about that receiver's clock. Called for each matched line by app's foreign port.
import type { Result } from "../domain/errors.ts";
import type { ClockExchange } from "../domain/exchange.ts";
import type { ForeignLine } from "../domain/foreign-line.ts";
import type { BoxId } from "../domain/session.ts";
import { boxUs, type HostUs, hostUs } from "../domain/time.ts";
import { shownForeign } from "./foreign-cut.ts";
import { foreignTimeUs } from "./foreign-time.ts";
import type { BoxRole, EventMessage } from "./message.ts";

const DAY_US = 86_400e6;
/**
 * chosen: the laptop's own stalls (the longest commit measured took 0.4 s). A clock that was set by
 * less than this goes unnoticed.
 */
const STALL_US = 1e6;
/** chosen: a ceramic resonator's rate is off by no more (from memory). */
const RATE = 0.005;
/** chosen: instants are reckoned from the last multiple of this: fifteen digits hold them. */
const ORIGIN_US = 1e14;
const LAST_BOOT = 0xffff;
const LAST_SEQ = 9_999_999;
/** chosen: with EXCHANGES_IN_WINDOW: few enough that the fit never rests on how well they agree. */
const EXCHANGE_EVERY_US = 120e6;
/** Exchanges of that distance within the 600 s that the fit of a clock looks at. */
const EXCHANGES_IN_WINDOW = 6;

/** What the pattern's groups matched; a group that the pattern has and that matched nothing: undefined. */
export type ForeignGroups = Readonly<Partial<Record<string, string>>>;

/** Where the reading of one receiver's lines stands. */
export interface ForeignState {
  /** Of all boxes that its lines stand for: they share its clock. */
  readonly boot: number;
  /** Last number given out in this boot, by box. */
  readonly seqs: Readonly<Partial<Record<BoxId, number>>>;
  /** Taken off what the receiver's clock says, us. */
  readonly originUs: number;
  /** The newest line; null before the first. */
  readonly last: { readonly clockUs: number; readonly at: HostUs; readonly host: string } | null;
  /** Arrival of the newest line that was made an exchange in this boot and run of the laptop's clock. */
  readonly exchangedAt: HostUs | null;
}

/** When a line's last byte came in. */
export interface ForeignArrival {
  readonly at: HostUs;
  /** Run of the laptop's clock. */
  readonly host: string;
}

/** Time that went by between two lines, s, where receiver and laptop do not agree. */
interface ForeignJump {
  readonly receiverS: number;
  readonly laptopS: number;
}

/** What one line came to. */
export interface ForeignPassing {
  /** What the group `gate` matched; "" without it. */
  readonly gate: string;
  /** Null if that gate stands for no box. */
  readonly box: BoxId | null;
  readonly tag: string | null;
  /** The pattern is one of a transponder reader's. */
  readonly isTagged: boolean;
  readonly boot: number;
  readonly seq: number;
  /** On the receiver's clock from the origin of this boot, us, midnights counted on. */
  readonly atUs: number;
  /** Set if the receiver's clock did not go on: a boot began. */
  readonly jump: ForeignJump | null;
  /** This line is one of those that the receiver's clock is fitted to. */
  readonly isExchange: boolean;
}

/** Before the first line; the first one is in the boot given. */
export function foreignStart(boot: number): ForeignState {
  return { boot, seqs: {}, originUs: 0, last: null, exchangedAt: null };
}

interface Placed {
  /** On the receiver's clock, midnights counted on, us. */
  readonly clockUs: number;
  readonly goesOn: boolean;
  readonly jump: ForeignJump | null;
}

/**
 * Whether the receiver's clock went on since the line before: as much as the laptop's, give or take
 * the latency of both lines, its rate and a stall. Otherwise it was set or started again.
 */
function placed(
  line: ForeignLine,
  { last, originUs }: ForeignState,
  rawUs: number,
  { at, host }: ForeignArrival,
): Placed {
  if (last === null) return { clockUs: rawUs, goesOn: false, jump: null };
  const isSameHost = last.host === host;
  // The laptop's own clock, which began anew: nothing went wrong.
  if (line.clock === "arrival") return { clockUs: rawUs, goesOn: isSameHost, jump: null };
  const goneUs = isSameHost ? at - last.at : 0;
  const expectedUs = last.clockUs + goneUs;
  const days = line.unit === "h:m:s" ? Math.max(0, Math.round((expectedUs - rawUs) / DAY_US)) : 0;
  const clockUs = rawUs + days * DAY_US;
  const offUs = clockUs - expectedUs;
  const allowedUs = (line.latencyS + line.resolutionS) * 1e6 + STALL_US + RATE * goneUs;
  const goesOn = clockUs >= originUs && offUs >= -allowedUs && (offUs <= allowedUs || !isSameHost);
  if (goesOn) return { clockUs, goesOn, jump: null };
  const jump = { receiverS: (rawUs - last.clockUs) / 1e6, laptopS: goneUs / 1e6 };
  return { clockUs: rawUs, goesOn, jump };
}

/** Our tags are 1 to 8 of [0-9A-Z]: anything else is left out, of a longer one the end counts. */
function tagOf(text: string | undefined): string | null {
  const tag = (text ?? "")
    .toUpperCase()
    .replace(/[^0-9A-Z]/g, "")
    .slice(-8);
  return tag === "" ? null : tag;
}

/**
 * What a matched line says. Pure; the receiver's clock going back or ahead (a restart, somebody setting
 * it) begins a new boot, a clock time that begins again at midnight goes on counting.
 *
 * @param groups - what the groups of `line.pattern` matched
 * @returns the state to go on from, and the passing or why there is none, in words
 */
export function readForeign(
  line: ForeignLine,
  state: ForeignState,
  groups: ForeignGroups,
  arrival: ForeignArrival,
): { readonly state: ForeignState; readonly read: Result<ForeignPassing, string> } {
  const failed = (error: string) => ({ state, read: { ok: false as const, error } });
  const said = groups["time"] ?? "";
  const rawUs = line.clock === "arrival" ? Math.round(arrival.at) : foreignTimeUs(said, line.unit);
  if (rawUs === null) {
    const unit = line.unit === "h:m:s" ? "as h:m:s" : `in ${line.unit}`;
    return failed(`"${shownForeign(said)}" is no time ${unit} (lines ${line.name})`);
  }
  const gate = groups["gate"] ?? "";
  const box = Object.hasOwn(line.boxes, gate) ? (line.boxes[gate] ?? null) : null;
  const key = box ?? "";
  const { clockUs, goesOn, jump } = placed(line, state, rawUs, arrival);
  const begins = state.last !== null && (!goesOn || (state.seqs[key] ?? 0) >= LAST_SEQ);
  const boot = begins ? state.boot + 1 : state.boot;
  if (boot > LAST_BOOT) {
    return failed(
      `the clock of lines ${line.name} has started again too often: no numbers are left`,
    );
  }
  const isNew = begins || state.last === null;
  const seq = ((isNew ? {} : state.seqs)[key] ?? 0) + 1;
  const originUs = isNew ? Math.floor(clockUs / ORIGIN_US) * ORIGIN_US : state.originUs;
  const exchangedAt = isNew || state.last.host !== arrival.host ? null : state.exchangedAt;
  const isDue = exchangedAt === null || arrival.at - exchangedAt >= EXCHANGE_EVERY_US;
  const isExchange = isDue && box !== null;
  // What counts for no box says nothing of the clock either; without any boxes a pattern is tried out.
  const isOurs = box !== null || Object.keys(line.boxes).length === 0;
  const next: ForeignState = {
    boot,
    seqs: { ...(isNew ? {} : state.seqs), [key]: seq },
    originUs,
    last: { clockUs, ...arrival },
    exchangedAt: isExchange ? arrival.at : exchangedAt,
  };
  return {
    state: isOurs ? next : state,
    read: {
      ok: true,
      value: {
        gate,
        box,
        tag: tagOf(groups["tag"]),
        isTagged: "tag" in groups,
        boot,
        seq,
        atUs: clockUs - originUs,
        jump: isOurs ? jump : null,
        isExchange,
      },
    },
  };
}

/**
 * The passing as the box would have sent it. The receiver tells nothing of a battery or a beam: 0 mV,
 * as a box that does not measure it, and 100 %.
 */
export function foreignEvent(passing: ForeignPassing, box: BoxId, role: BoxRole): EventMessage {
  return {
    type: "event",
    box,
    boot: passing.boot,
    seq: passing.seq,
    role,
    kind: passing.isTagged ? "T" : "B",
    atUs: boxUs(passing.atUs),
    aux: 0,
    tag: passing.tag,
    batteryMv: 0,
    beamPercent: 100,
  };
}

/**
 * Round trip that stands for what one line tells of the clock, s. The passing lies within the latency
 * before its arrival, its printed time within half a step. The fit averages up to six of these bounds
 * as though each line's delay had nothing to do with the next one's; of one receiver it has, so each
 * is made wider by the root of six: however many there are, the stated uncertainty of the clock is not
 * below (latency + step) / sqrt(12).
 *
 * @see JCGM 100:2008, 4.3.7 (a bound as a rectangular distribution)
 */
export function foreignRoundTripS({ clock, latencyS, resolutionS }: ForeignLine): number {
  const step = clock === "arrival" ? 0 : resolutionS;
  return Math.sqrt(EXCHANGES_IN_WINDOW) * (latencyS + step);
}

/**
 * What a line says of the receiver's clock, for each box that its lines stand for: they share it.
 * t4 is the arrival and t1 the latency before it, the true instant lies between; t2 and t3 lie about
 * the receiver's own time, so far apart that the round trip is `foreignRoundTripS`.
 */
export function foreignExchanges(
  line: ForeignLine,
  { boot, atUs, isExchange }: ForeignPassing,
  { at }: ForeignArrival,
  port: string,
): readonly ClockExchange[] {
  if (!isExchange) return [];
  const t4Us = Math.round(at);
  const wideUs = Math.round(((foreignRoundTripS(line) - line.latencyS) / 2) * 1e6);
  const instants = {
    t1Us: hostUs(t4Us - Math.round(line.latencyS * 1e6)),
    t2Us: boxUs(atUs + wideUs),
    t3Us: boxUs(atUs - wideUs),
    t4Us: hostUs(t4Us),
  };
  const boxes = [...new Set(Object.values(line.boxes))];
  return boxes.map((box) => ({ box, boot, port, ...instants }));
}
