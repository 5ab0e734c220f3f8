// One raw line from the host to a message; called by the box's side of the decoder.
import type { Result } from "../domain/errors.ts";
import { hostUs } from "../domain/time.ts";
import type { FaultReason } from "./fault.ts";
import { allRead, boot, checkLine, count, isBoxId, isRole } from "./fields.ts";
import type { HostMessage } from "./message.ts";

type Read = HostMessage | undefined;

function readSeq(type: "acknowledge" | "resend", f: readonly string[]): Read {
  const bootNo = boot(f[1]);
  const seq = count(f[2], 8);
  return isBoxId(f[0]) && allRead(bootNo, seq) ? { type, box: f[0], boot: bootNo, seq } : undefined;
}

function readQuery(f: readonly string[]): Read {
  const [box, token, first] = f;
  const t1 = count(first, 15);
  if (!isBoxId(box) || token === undefined || !allRead(count(token, 9), t1)) return undefined;
  return { type: "query", box, token, t1Us: hostUs(t1) };
}

function readRename(f: readonly string[]): Read {
  const [box, newBox, newRole] = f;
  if (!isBoxId(box) || !isBoxId(newBox) || !isRole(newRole)) return undefined;
  return { type: "rename", box, newBox, newRole };
}

function readSet(f: readonly string[]): Read {
  const [box, name, text] = f;
  const value = count(text, 8);
  if (!isBoxId(box) || (name !== "block_us" && name !== "rearm_us") || Number.isNaN(value)) {
    return undefined;
  }
  return { type: "set", box, name, value };
}

function readIdentify(f: readonly string[]): Read {
  const box = f[0];
  return box === "?" || isBoxId(box) ? { type: "identify", box } : undefined;
}

const READERS: Readonly<Record<string, (f: readonly string[]) => Read>> = {
  I: readIdentify,
  Q: readQuery,
  A: (f) => readSeq("acknowledge", f),
  N: (f) => readSeq("resend", f),
  W: readRename,
  S: readSet,
};

/**
 * Reads one line of the host, as a box does.
 *
 * @param raw - from ':' up to, not including, the line feed
 * @returns the message, or why there is none; `unknown-type` also for lines of other boxes
 */
export function parseHostLine(raw: string): Result<HostMessage, FaultReason> {
  const checked = checkLine(raw);
  if (!checked.ok) return checked;
  const { letter, fields } = checked.value;
  const read = Object.hasOwn(READERS, letter) ? READERS[letter] : undefined;
  if (read === undefined) return { ok: false, error: "unknown-type" };
  const message = read(fields);
  return message === undefined ? { ok: false, error: "bad-fields" } : { ok: true, value: message };
}
