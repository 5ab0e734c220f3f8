// Turns the bytes of a terminal's keyboard into keys, one at a time; called by the keyboard.

export type NamedKey =
  | "enter"
  | "escape"
  | "backspace"
  | "tab"
  | "up"
  | "down"
  | "left"
  | "right"
  | "page-up"
  | "page-down"
  | "home"
  | "end"
  | "ctrl-c";

export type Key =
  /** One printable character, a blank included. */
  | { readonly type: "text"; readonly text: string }
  | { readonly type: "named"; readonly name: NamedKey }
  /** Everything between the marks of a bracketed paste, control characters and all. */
  | { readonly type: "paste"; readonly text: string };

interface ParsedKeys {
  readonly keys: readonly Key[];
  /** Bytes that may yet become a key, at most `LONGEST_PASTE` of them. */
  readonly pending: Uint8Array;
}

const ESC = 0x1b;
const PASTE_OPEN = "200~";
const PASTE_END = Uint8Array.of(ESC, 0x5b, 0x32, 0x30, 0x31, 0x7e); // ESC [ 201~
/** chosen: far longer than any sequence a keyboard sends; a longer one is thrown away. */
const LONGEST_SEQUENCE = 64;
/** chosen: more than any note; the rest of a longer paste is thrown away, never typed as keys. */
const LONGEST_PASTE = 65_536;

/** A lone Esc and the first byte of an arrow key are the same: wait so long for the rest. */
const ESCAPE_WAIT_MS = 50;
/** A paste over a slow link comes in pieces; a lost end mark must not deafen the keyboard for ever. */
const PASTE_WAIT_MS = 2_000;

/** Sequences after `ESC [` and `ESC O` that name a key; all others are dropped. */
const NAMED: Readonly<Record<string, NamedKey>> = {
  "[A": "up",
  "[B": "down",
  "[C": "right",
  "[D": "left",
  "[H": "home",
  "[F": "end",
  "[1~": "home",
  "[4~": "end",
  "[5~": "page-up",
  "[6~": "page-down",
  "[7~": "home",
  "[8~": "end",
  OA: "up",
  OB: "down",
  OC: "right",
  OD: "left",
  OH: "home",
  OF: "end",
  OM: "enter", // keypad
};
const CONTROLS: Readonly<Record<number, NamedKey>> = {
  3: "ctrl-c",
  8: "backspace",
  9: "tab",
  10: "enter",
  13: "enter",
  127: "backspace",
};

/** What stands at a place of the input: a key or nothing, and where it ends; or too little to say. */
interface Piece {
  readonly key: Key | undefined;
  readonly end: number;
}

const utf8 = new TextDecoder("utf-8");

function named(name: NamedKey | undefined): Key | undefined {
  return name === undefined ? undefined : { type: "named", name };
}

function ascii(bytes: Uint8Array, from: number, to: number): string {
  return String.fromCharCode(...bytes.subarray(from, to));
}

function indexOfPasteEnd(bytes: Uint8Array, from: number): number {
  for (let i = from; i + PASTE_END.length <= bytes.length; i++) {
    if (PASTE_END.every((byte, j) => bytes[i + j] === byte)) return i;
  }
  return -1;
}

function paste(bytes: Uint8Array, from: number, to: number): Key {
  const end = Math.min(to, from + LONGEST_PASTE);
  return { type: "paste", text: utf8.decode(bytes.subarray(from, end)) };
}

/** `ESC [` parameters, intermediates, final byte (ECMA-48, 5.4); also `ESC [ [ A` of the Linux console. */
function controlSequence(bytes: Uint8Array, at: number): Piece | undefined {
  let i = at + 2;
  if (bytes[i] === 0x5b) i++;
  for (; i < bytes.length; i++) {
    const byte = bytes[i] ?? 0;
    if (byte >= 0x40 && byte <= 0x7e) break;
    if (byte < 0x20 || byte > 0x3f || i - at > LONGEST_SEQUENCE) return { key: undefined, end: i };
  }
  if (i >= bytes.length) return undefined;
  const body = ascii(bytes, at + 1, i + 1);
  if (body !== `[${PASTE_OPEN}`) return { key: named(NAMED[body]), end: i + 1 };
  const end = indexOfPasteEnd(bytes, i + 1);
  return end < 0 ? undefined : { key: paste(bytes, i + 1, end), end: end + PASTE_END.length };
}

/** A terminal's answer as a string, up to BEL or ESC \: never typed by a person, dropped. */
function stringSequence(bytes: Uint8Array, at: number): Piece | undefined {
  for (let i = at + 2; i < bytes.length; i++) {
    if (bytes[i] === 7) return { key: undefined, end: i + 1 };
    const next = bytes[i] === ESC ? bytes[i + 1] : undefined;
    if (next !== undefined) return { key: undefined, end: next === 0x5c ? i + 2 : i };
    if (i - at > LONGEST_PASTE) return { key: undefined, end: i };
  }
  return undefined;
}

function afterEscape(bytes: Uint8Array, at: number): Piece | undefined {
  const next = bytes[at + 1];
  switch (next) {
    case undefined:
      return undefined;
    case 0x5b: // [
      return controlSequence(bytes, at);
    case 0x4f: // O
      if (bytes.length < at + 3) return undefined;
      return { key: named(NAMED[ascii(bytes, at + 1, at + 3)]), end: at + 3 };
    case 0x50: // P
    case 0x5d: // ]
    case 0x5f: // _
      return stringSequence(bytes, at);
    default: // Esc and another key in one read, or Alt held: both keys count, none is lost
      return { key: named("escape"), end: at + 1 };
  }
}

function utf8Length(first: number): number {
  if (first >= 0xc2 && first <= 0xdf) return 2;
  if (first >= 0xe0 && first <= 0xef) return 3;
  if (first >= 0xf0 && first <= 0xf4) return 4;
  return 0; // no character starts so
}

function character(bytes: Uint8Array, at: number): Piece | undefined {
  const length = utf8Length(bytes[at] ?? 0);
  if (length === 0) return { key: undefined, end: at + 1 };
  for (let i = 1; i < length; i++) {
    const byte = bytes[at + i];
    if (byte === undefined) return undefined;
    if (byte < 0x80 || byte > 0xbf) return { key: undefined, end: at + i };
  }
  const text = utf8.decode(bytes.subarray(at, at + length));
  const isPrintable = /^[^\p{C}\uFFFD]$/u.test(text);
  return { key: isPrintable ? { type: "text", text } : undefined, end: at + length };
}

function pieceAt(bytes: Uint8Array, at: number): Piece | undefined {
  const byte = bytes[at] ?? 0;
  if (byte === ESC) return afterEscape(bytes, at);
  if (byte >= 0x80) return character(bytes, at);
  if (byte < 0x20 || byte === 0x7f) return { key: named(CONTROLS[byte]), end: at + 1 };
  return { key: { type: "text", text: String.fromCharCode(byte) }, end: at + 1 };
}

/**
 * Keys in a stretch of keyboard input. Any bytes give an answer; sequences that name no key of ours
 * are dropped whole, so that their letters are never taken for commands.
 *
 * @param bytes - what was pending, then what was read
 */
function parseKeys(bytes: Uint8Array): ParsedKeys {
  const keys: Key[] = [];
  let at = 0;
  while (at < bytes.length) {
    const piece = pieceAt(bytes, at);
    if (piece === undefined) break;
    if (piece.key !== undefined) keys.push(piece.key);
    at = piece.end;
  }
  return { keys, pending: bytes.slice(at) };
}

function isPaste(pending: Uint8Array): boolean {
  return ascii(pending, 1, 2 + PASTE_OPEN.length) === `[${PASTE_OPEN}`;
}

/**
 * Keys that pending bytes stand for once nothing followed them in time: a lone Esc, a paste whose
 * end mark was lost. Half a sequence or half a character stands for nothing.
 */
function flushKeys(pending: Uint8Array): readonly Key[] {
  if (pending.length === 1 && pending[0] === ESC) return [{ type: "named", name: "escape" }];
  if (isPaste(pending)) return [paste(pending, 2 + PASTE_OPEN.length, pending.length)];
  return [];
}

/** How long to wait for the rest of the pending bytes before flushing, ms; undefined: nothing pends. */
function flushAfterMs(pending: Uint8Array): number | undefined {
  if (pending.length === 0) return undefined;
  return isPaste(pending) ? PASTE_WAIT_MS : ESCAPE_WAIT_MS;
}

/** The memory around the parser: one for each keyboard. */
export interface KeyStream {
  /** Takes bytes as read. */
  push(bytes: Uint8Array): readonly Key[];
  /** Takes notice that nothing came for `flushAfterMs`. */
  flush(): readonly Key[];
  /** ms to wait for more before `flush`; undefined if nothing pends. */
  flushAfterMs(): number | undefined;
}

/** A key stream with nothing read yet. */
export function createKeyStream(): KeyStream {
  let pending: Uint8Array = new Uint8Array();
  return {
    push(bytes) {
      const joined = new Uint8Array(pending.length + bytes.length);
      joined.set(pending);
      joined.set(bytes, pending.length);
      const parsed = parseKeys(joined);
      pending = isPaste(parsed.pending) ? boundedPaste(parsed.pending) : parsed.pending;
      return parsed.keys;
    },
    flush() {
      const keys = flushKeys(pending);
      pending = new Uint8Array();
      return keys;
    },
    flushAfterMs: () => flushAfterMs(pending),
  };
}

/** Keeps the start of an endless paste and the last bytes, which may be half an end mark. */
function boundedPaste(pending: Uint8Array): Uint8Array {
  const limit = LONGEST_PASTE + 2 + PASTE_OPEN.length;
  if (pending.length <= limit + PASTE_END.length) return pending;
  const kept = pending.slice(0, limit + PASTE_END.length);
  kept.set(pending.subarray(-PASTE_END.length), limit);
  return kept;
}
