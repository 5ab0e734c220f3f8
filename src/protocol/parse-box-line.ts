// One raw line from a box to a message; called by the decoder, and by the fold on stored lines.
import type { Result } from "../domain/errors.ts";
import { boxUs, hostUs } from "../domain/time.ts";
import type { FaultReason } from "./fault.ts";
import { allRead, boot, checkLine, count, isBoxId, isKind, isRole } from "./fields.ts";
import type { BoxMessage } from "./message.ts";

type Fields = readonly string[];
type Read = BoxMessage | undefined;

/** Digits of an instant; 15 keep it below 2^53. */
const US = 15;
/** Digits of a sequence number; one more than the last is 10000000. */
const SEQ = 8;
/** 16-bit counters, battery and beam. */
const SMALL = 5;

function readBoot(box: string, bootNo: number, f: Fields): Read {
  const [, , role, now, oldest, next, firmware, resolution] = f;
  const nowUs = count(now, US);
  const oldestSeq = count(oldest, SEQ);
  const nextSeq = count(next, SEQ);
  const resolutionNs = count(resolution, US);
  if (!isRole(role) || firmware === undefined || firmware.length > 8) return undefined;
  if (!allRead(bootNo, nowUs, oldestSeq, nextSeq, resolutionNs)) return undefined;
  if (oldestSeq < 1 || oldestSeq > nextSeq) return undefined;
  return {
    type: "boot",
    box,
    boot: bootNo,
    role,
    nowUs: boxUs(nowUs),
    oldestSeq,
    nextSeq,
    firmware,
    resolutionNs,
  };
}

function readEvent(box: string, bootNo: number, f: Fields): Read {
  const [, , seqText, role, kind, at, auxText, tagText, battery, beam] = f;
  const seq = count(seqText, SEQ - 1);
  const atUs = count(at, US);
  const aux = count(auxText, SMALL);
  const batteryMv = count(battery, SMALL);
  const beamPercent = count(beam, SMALL);
  if (!isRole(role) || !isKind(kind) || !allRead(bootNo, seq, atUs, aux, batteryMv, beamPercent)) {
    return undefined;
  }
  if (seq < 1 || tagText === undefined || !/^(?:-|[0-9A-Z]{1,8})$/.test(tagText)) return undefined;
  return {
    type: "event",
    box,
    boot: bootNo,
    seq,
    role,
    kind,
    atUs: boxUs(atUs),
    aux,
    tag: tagText === "-" ? null : tagText,
    batteryMv,
    beamPercent,
  };
}

function readHeartbeat(box: string, bootNo: number, f: Fields): Read {
  const [, , now, oldest, next, battery, beam, glitch, lost, bad] = f;
  const nowUs = count(now, US);
  const oldestSeq = count(oldest, SEQ);
  const nextSeq = count(next, SEQ);
  const batteryMv = count(battery, SMALL);
  const beamPercent = count(beam, SMALL);
  const glitches = count(glitch, SMALL);
  const overwritten = count(lost, SMALL);
  const badInput = count(bad, SMALL);
  const small = [batteryMv, beamPercent, glitches, overwritten, badInput];
  if (!allRead(bootNo, nowUs, oldestSeq, nextSeq, ...small)) return undefined;
  if (oldestSeq < 1 || oldestSeq > nextSeq) return undefined;
  return {
    type: "heartbeat",
    box,
    boot: bootNo,
    nowUs: boxUs(nowUs),
    oldestSeq,
    nextSeq,
    batteryMv,
    beamPercent,
    glitches,
    overwritten,
    badInput,
  };
}

function readReply(box: string, bootNo: number, f: Fields): Read {
  const [, , token, first, second, third] = f;
  const t1 = count(first, US);
  const t2 = count(second, US);
  const t3 = count(third, US);
  if (token === undefined || !allRead(bootNo, count(token, 9), t1, t2, t3)) return undefined;
  return {
    type: "reply",
    box,
    boot: bootNo,
    token,
    t1Us: hostUs(t1),
    t2Us: boxUs(t2),
    t3Us: boxUs(t3),
  };
}

function readGone(box: string, bootNo: number, f: Fields): Read {
  const fromSeq = count(f[2], SEQ);
  const toSeq = count(f[3], SEQ);
  if (!allRead(bootNo, fromSeq, toSeq) || fromSeq < 1 || fromSeq > toSeq) return undefined;
  return { type: "gone", box, boot: bootNo, fromSeq, toSeq };
}

const READERS: Readonly<Record<string, (box: string, bootNo: number, f: Fields) => Read>> = {
  B: readBoot,
  E: readEvent,
  H: readHeartbeat,
  R: readReply,
  G: readGone,
};

/**
 * Reads one line from a box. Extra trailing fields are ignored: version 1 may grow that way.
 *
 * @param raw - from ':' up to, not including, the line feed, as the decoder handed it out
 * @returns the message, or why there is none; `unknown-type` also for lines of the host (an echo)
 */
export function parseLine(raw: string): Result<BoxMessage, FaultReason> {
  const checked = checkLine(raw);
  if (!checked.ok) return checked;
  const { letter, fields } = checked.value;
  const read = Object.hasOwn(READERS, letter) ? READERS[letter] : undefined;
  if (read === undefined) return { ok: false, error: "unknown-type" };
  const box = fields[0];
  const message = isBoxId(box) ? read(box, boot(fields[1]), fields) : undefined;
  return message === undefined ? { ok: false, error: "bad-fields" } : { ok: true, value: message };
}
