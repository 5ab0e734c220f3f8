// Where each value of a TOML text stands, which its parser does not tell; used to name lines in
// messages and to see a date as it was written.
import { parse, TomlError } from "smol-toml";

export type TomlPath = readonly (string | number)[];

interface TomlPlace {
  /** 1-based. */
  readonly line: number;
  /** The value as written; for a table its header's first line. */
  readonly text: string;
}

/** Places by `JSON.stringify(path)`; paths are followed to 16 parts. */
export type TomlPlaces = ReadonlyMap<string, TomlPlace>;

/** chosen: three times what a sheet nests; keeps a hostile one from costing its square. */
const deepest = 16;

/**
 * Walks over a TOML text that has been parsed without complaint and notes where its keys, tables and
 * elements of arrays begin. Elements of `[[gates]]` are counted from 0: `["gates", 1, "role"]`.
 *
 * @param text - valid TOML; for anything else the answer is of no use, but there is one
 * @see TOML 1.0.0, https://toml.io/en/v1.0.0
 */
export function tomlPlaces(text: string): TomlPlaces {
  const places = new Map<string, TomlPlace>();
  const elements = new Map<string, number>();
  const lineStarts = [0, ...[...text.matchAll(/\n/g)].map((m) => m.index + 1)];
  let at = text.startsWith("\ufeff") ? 1 : 0;
  let table: TomlPath = [];

  const lineOf = (offset: number): number => {
    let low = 0;
    let high = lineStarts.length;
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if ((lineStarts[middle] ?? 0) <= offset) low = middle;
      else high = middle;
    }
    return low + 1;
  };

  /** The first mention of a path stands; tables that are only implied stand where they begin. */
  const note = (path: TomlPath, from: number, to: number): void => {
    const place = { line: lineOf(from), text: text.slice(from, to).trim() };
    for (let n = 1; n <= Math.min(path.length, deepest); n += 1) {
      const key = JSON.stringify(path.slice(0, n));
      if (!places.has(key)) places.set(key, place);
    }
  };

  const skip = (pattern: RegExp): string => {
    pattern.lastIndex = at;
    const found = pattern.exec(text)?.[0] ?? "";
    at += found.length;
    return found;
  };
  const skipBlanks = (): string => skip(/(?:[ \t\r\n]|#[^\n]*)*/y);
  const skipSpaces = (): string => skip(/[ \t]*/y);

  const readKeys = (): string[] => {
    const keys: string[] = [];
    for (;;) {
      skipSpaces();
      const quotedKey = skip(/"(?:[^"\\\n]|\\.)*"|'[^'\n]*'/y);
      const key = quotedKey === "" ? skip(/[A-Za-z0-9_-]+/y) : unquoted(quotedKey);
      if (keys.length < deepest) keys.push(key);
      skipSpaces();
      if (text[at] !== ".") return keys;
      at += 1;
    }
  };

  const readValue = (path: TomlPath): void => {
    skipSpaces();
    const from = at;
    if (text[at] === "[") {
      note(path, from, from + 1);
      at += 1;
      readElements(path);
    } else if (text[at] === "{") {
      note(path, from, from + 1);
      at += 1;
      readPairs(path);
    } else {
      const string =
        skip(/"""(?:[^"\\]|\\[\s\S]|"{1,2}(?!"))*"{3,5}|'''(?:[^']|'{1,2}(?!'))*'{3,5}/y) ||
        skip(/"(?:[^"\\\n]|\\.)*"|'[^'\n]*'/y);
      if (string === "") skip(/[^,\]}#\r\n]*/y);
      note(path, from, at);
    }
  };

  const readElements = (path: TomlPath): void => {
    for (let i = 0; at < text.length; i += 1) {
      skipBlanks();
      if (text[at] === "]") break;
      const before = at;
      readValue([...path, i]);
      skipBlanks();
      if (text[at] === ",") at += 1;
      else if (text[at] !== "]" && at === before) return;
    }
    at += 1;
  };

  const readPairs = (path: TomlPath): void => {
    while (at < text.length) {
      skipBlanks();
      if (text[at] === "}") break;
      const before = at;
      readPair(path);
      skipBlanks();
      if (text[at] === ",") at += 1;
      else if (text[at] !== "}" && at === before) return;
    }
    at += 1;
  };

  const readPair = (path: TomlPath): void => {
    const from = at;
    const keys = readKeys();
    if (text[at] === "=") at += 1;
    note([...path, ...keys.slice(0, -1)], from, at);
    readValue([...path, ...keys]);
  };

  const readHeader = (): void => {
    const from = at;
    const isElement = text.startsWith("[[", at);
    at += isElement ? 2 : 1;
    const keys = readKeys();
    skip(/\]{1,2}/y);
    const path: (string | number)[] = [];
    keys.forEach((key, i) => {
      path.push(key);
      const name = JSON.stringify(path);
      const count = elements.get(name);
      if (isElement && i === keys.length - 1) {
        elements.set(name, (count ?? 0) + 1);
        path.push(count ?? 0);
      } else if (count !== undefined) path.push(count - 1);
    });
    note(path, from, at);
    table = path;
  };

  while (at < text.length) {
    skipBlanks();
    const before = at;
    if (text[at] === "[") readHeader();
    else if (at < text.length) readPair(table);
    if (at === before) break;
  }
  return places;
}

/** The line of the value, or of the nearest table around it that the text names; 1 if none. */
export function lineOfPath(places: TomlPlaces, path: TomlPath): number {
  for (let n = path.length; n > 0; n -= 1) {
    const place = places.get(JSON.stringify(path.slice(0, n)));
    if (place !== undefined) return place.line;
  }
  return 1;
}

/** A quoted key without its quotes and escapes; as written if it is no valid TOML. */
function unquoted(key: string): string {
  try {
    const { k } = parse(`k = ${key}`);
    return typeof k === "string" ? k : key;
  } catch (error) {
    if (error instanceof TomlError) return key;
    throw error;
  }
}
