// What `--port PATH` and `--port PATH=NAME` ask for: sources at the right speed, and whose lines come in
// where. Used by console and record.
import { UserError } from "../domain/errors.ts";
import type { ForeignLine } from "../domain/foreign-line.ts";
import { SerialSource } from "../source/serial-port.ts";

export interface PortsGiven {
  readonly sources: readonly SerialSource[];
  /** By name of the source. */
  readonly foreign: ReadonlyMap<string, ForeignLine>;
}

/**
 * @param given - as typed
 * @param lines - the session's
 * @throws {UserError} wrong-usage for a name that the session has not, or a box heard in two places
 */
export function portsGiven(given: readonly string[], lines: readonly ForeignLine[]): PortsGiven {
  const foreign = new Map<string, ForeignLine>();
  const paths = given.map((text) => {
    const equals = text.lastIndexOf("=");
    if (equals < 0) return text;
    const path = text.slice(0, equals);
    foreign.set(path, lineNamed(text.slice(equals + 1), lines));
    return path;
  });
  const twice = paths.find((path, i) => paths.indexOf(path) !== i);
  if (twice !== undefined) {
    throw new UserError("wrong-usage", `${twice} is named twice`, "name each port once");
  }
  refuseTwoClocks([...foreign.values()]);
  const sources = paths.map((path) => new SerialSource(path, foreign.get(path) ?? null));
  return { sources, foreign };
}

/** @throws {UserError} wrong-usage */
export function lineNamed(name: string, lines: readonly ForeignLine[]): ForeignLine {
  const found = lines.find((line) => line.name === name);
  if (found !== undefined) return found;
  const names = lines.map((line) => line.name).join(", ");
  throw new UserError(
    "wrong-usage",
    `no [[lines]] of that name: ${name}`,
    names === "" ? "the sheet has no [[lines]]" : `the sheet has ${names}`,
  );
}

/** Each receiver has its own clock: a box cannot be heard through two. */
function refuseTwoClocks(lines: readonly ForeignLine[]): void {
  const boxes = lines.flatMap((line) => [...new Set(Object.values(line.boxes))]);
  const shared = boxes.find((box, i) => boxes.indexOf(box) !== i);
  if (shared === undefined) return;
  throw new UserError(
    "wrong-usage",
    `box ${shared} would be heard at two ports`,
    "give each receiver [[lines]] of its own, with other boxes",
  );
}
