// Messages to lines: the host's side for the recorder, the boxes' side for simulated boxes.
import { assertNever } from "../domain/errors.ts";
import { crc16, hex4 } from "./crc.ts";
import { VERSION } from "./fields.ts";
import type { BoxMessage, HostMessage } from "./message.ts";

/** Makes Q as long as R, so that a delay that grows with length cancels in the clock's offset. */
const QUERY_PADDING = ".".repeat(36);

function checked(payload: string): string {
  return `:${payload}*${hex4(crc16(payload))}`;
}

function bounded(what: string, value: number, low: number, high: number): string {
  if (!Number.isInteger(value) || value < low || value > high) {
    throw new RangeError(`${what} must be a whole number from ${String(low)} to ${String(high)}`);
  }
  return String(value);
}

function shaped(what: string, value: string, shape: RegExp): string {
  if (!shape.test(value)) throw new RangeError(`${what} must match ${shape.source}`);
  return value;
}

const boxId = (id: string) => shaped("a box id", id, /^[0-9A-Z]{1,4}$/);
const bootNo = (n: number) => hex4(Number(bounded("a boot number", n, 0, 0xffff)));
const seqNo = (n: number) => bounded("a sequence number", n, 0, 10_000_000);
const instant = (us: number) => bounded("an instant", us, 0, 999_999_999_999_999);
const small = (n: number) => bounded("a count", n, 0, 99_999);
const padded = (us: number) => instant(us).padStart(15, "0");
const tokenOf = (t: string) => shaped("a token", t, /^[0-9]{1,9}$/);

function boxFields(m: BoxMessage): readonly string[] {
  const head = [boxId(m.box), bootNo(m.boot)];
  switch (m.type) {
    case "boot": {
      const held = [seqNo(m.oldestSeq), seqNo(m.nextSeq)];
      const firmware = shaped("a firmware version", m.firmware, /^[^,*:]{0,8}$/);
      return ["B", ...head, m.role, instant(m.nowUs), ...held, firmware, instant(m.resolutionNs)];
    }
    case "event": {
      const tag = m.tag === null ? "-" : shaped("a tag", m.tag, /^[0-9A-Z]{1,8}$/);
      const health = [small(m.batteryMv), small(m.beamPercent)];
      const what = [seqNo(m.seq), m.role, m.kind, instant(m.atUs)];
      return ["E", ...head, ...what, small(m.aux), tag, ...health];
    }
    case "heartbeat": {
      const held = [seqNo(m.oldestSeq), seqNo(m.nextSeq)];
      const health = [small(m.batteryMv), small(m.beamPercent)];
      const counts = [small(m.glitches), small(m.overwritten), small(m.badInput)];
      return ["H", ...head, instant(m.nowUs), ...held, ...health, ...counts];
    }
    case "reply":
      return ["R", ...head, tokenOf(m.token), padded(m.t1Us), padded(m.t2Us), padded(m.t3Us)];
    case "gone":
      return ["G", ...head, seqNo(m.fromSeq), seqNo(m.toSeq)];
    default:
      return assertNever(m);
  }
}

function hostFields(m: HostMessage): readonly string[] {
  switch (m.type) {
    case "identify":
      return ["I", m.box === "?" ? "?" : boxId(m.box)];
    case "query":
      return ["Q", boxId(m.box), tokenOf(m.token), padded(m.t1Us), QUERY_PADDING];
    case "acknowledge":
      return ["A", boxId(m.box), bootNo(m.boot), seqNo(m.seq)];
    case "resend":
      return ["N", boxId(m.box), bootNo(m.boot), seqNo(m.seq)];
    case "rename":
      return ["W", boxId(m.box), boxId(m.newBox), m.newRole];
    case "set":
      return ["S", boxId(m.box), m.name, seqNo(m.value)];
    default:
      return assertNever(m);
  }
}

/**
 * A line as a box sends it, without the line feed.
 *
 * @throws {RangeError} if a field does not fit the line
 */
export function encodeBoxLine(message: BoxMessage): string {
  return checked(VERSION + boxFields(message).join(","));
}

/**
 * A line as the host sends it, without the line feed.
 *
 * @throws {RangeError} if a field does not fit the line
 */
export function encodeHostLine(message: HostMessage): string {
  return checked(VERSION + hostFields(message).join(","));
}

/** A line as it goes on the wire: ASCII and a line feed. */
export function lineBytes(line: string): Uint8Array {
  const bytes = new Uint8Array(line.length + 1);
  for (let i = 0; i < line.length; i += 1) bytes[i] = line.charCodeAt(i) & 0x7f;
  bytes[line.length] = 0x0a;
  return bytes;
}
