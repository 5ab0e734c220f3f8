// What gateline 1 can say, both ways, as types; made by the parsers, written by the encoder.
import type { BoxId } from "../domain/session.ts";
import type { BoxUs, HostUs } from "../domain/time.ts";

/** S start, F finish, P1 to P9 split. */
export type BoxRole = "S" | "F" | `P${1 | 2 | 3 | 4 | 5 | 6 | 7 | 8 | 9}`;

/** B break, C clear, T tag, M manual button, X blocked over 10 s, O beam back. */
export type EventKind = "B" | "C" | "T" | "M" | "X" | "O";

interface FromBox {
  readonly box: BoxId;
  /** Boot number, 0 to 0xFFFF, one more at every reset of the box. */
  readonly boot: number;
}

/** Line B: at boot and when asked. `oldestSeq` equals `nextSeq` when nothing is held. */
interface BootMessage extends FromBox {
  readonly type: "boot";
  readonly role: BoxRole;
  readonly nowUs: BoxUs;
  readonly oldestSeq: number;
  readonly nextSeq: number;
  /** Firmware version, at most 8 characters. */
  readonly firmware: string;
  readonly resolutionNs: number;
}

/** Line E: something passed; repeated until acknowledged. (box, boot, seq) is its key for ever. */
export interface EventMessage extends FromBox {
  readonly type: "event";
  /** From 1 in each boot, at most 9999999. */
  readonly seq: number;
  readonly role: BoxRole;
  readonly kind: EventKind;
  /** B first edge, C last clearing edge, X first edge of the block, O its clearing, T end of the reader's record, M the press. */
  readonly atUs: BoxUs;
  /** How often the beam was blocked in this pass (kind C), else 0. */
  readonly aux: number;
  /** Transponder, 1 to 8 of [0-9A-Z]; null for a beam gate. */
  readonly tag: string | null;
  readonly batteryMv: number;
  /** Share of the last heartbeat interval in which the beam was seen, %. */
  readonly beamPercent: number;
}

/** Line H: every 2 s on a cable, slower on the radio. The counters are 16 bits wide. */
export interface HeartbeatMessage extends FromBox {
  readonly type: "heartbeat";
  readonly nowUs: BoxUs;
  readonly oldestSeq: number;
  readonly nextSeq: number;
  readonly batteryMv: number;
  readonly beamPercent: number;
  readonly glitches: number;
  /** Events overwritten in the box before they were acknowledged. */
  readonly overwritten: number;
  readonly badInput: number;
}

/** Line R: the answer to Q. */
export interface ReplyMessage extends FromBox {
  readonly type: "reply";
  /** 1 to 9 digits, as sent. */
  readonly token: string;
  readonly t1Us: HostUs;
  readonly t2Us: BoxUs;
  readonly t3Us: BoxUs;
}

/** Line G: asked for, no longer held; both ends are part of it. */
export interface GoneMessage extends FromBox {
  readonly type: "gone";
  readonly fromSeq: number;
  readonly toSeq: number;
}

export type BoxMessage = BootMessage | EventMessage | HeartbeatMessage | ReplyMessage | GoneMessage;

/** Lines of the host, in the order I, Q, A, N, W, S. Box id "?" means every box; never in a query. */
export type HostMessage =
  | { readonly type: "identify"; readonly box: BoxId }
  | { readonly type: "query"; readonly box: BoxId; readonly token: string; readonly t1Us: HostUs }
  | {
      readonly type: "acknowledge";
      readonly box: BoxId;
      readonly boot: number;
      readonly seq: number;
    }
  | { readonly type: "resend"; readonly box: BoxId; readonly boot: number; readonly seq: number }
  | {
      readonly type: "rename";
      readonly box: BoxId;
      readonly newBox: BoxId;
      readonly newRole: BoxRole;
    }
  | {
      readonly type: "set";
      readonly box: BoxId;
      readonly name: "block_us" | "rearm_us";
      readonly value: number;
    };
