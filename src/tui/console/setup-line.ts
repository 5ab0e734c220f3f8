// A line of a set-up sheet as it is typed and shown, `rear_pressure_bar = 1.6`; used by the sheet acts.
import type { Setup } from "../../domain/session.ts";
import { isNumberValue, unitOfValue } from "../../domain/setup-values.ts";

type SetupValue = Setup["values"][string];

interface SetupLine {
  readonly key: string;
  /** Null: nothing stands behind the `=`, the line is to be taken out. */
  readonly value: SetupValue | null;
}

const NUMBER = /^-?(?:\d+\.?\d*|\.\d+)(?:e[+-]?\d+)?$/iu;

/** As it stands on the sheet; text that would be read as a number or as yes or no is in quotes. */
export function setupLine(key: string, value: SetupValue): string {
  const plain = String(value);
  const isPlain = typeof value !== "string" || typedValue(key, plain) === value;
  return `${key} = ${isPlain ? plain : `"${plain}"`}`;
}

/** One line, as typed; undefined if it is none: no `=`, no key, or more than one line in it. */
export function readSetupLine(text: string): SetupLine | undefined {
  const at = text.indexOf("=");
  const key = text.slice(0, Math.max(0, at)).trim();
  const written = text.slice(at + 1).trim();
  if (at < 0 || key === "") return undefined;
  if (written === "") return { key, value: null };
  const isQuoted = /^".*"$/u.test(written);
  return !isQuoted && written.includes("=") ? undefined : { key, value: typedValue(key, written) };
}

/** A number with a point, or with a comma where only a number can stand; `true` and `false`; else text. */
function typedValue(key: string, written: string): SetupValue {
  const isNumberKey = isNumberValue(key) || unitOfValue(key) !== null;
  const pointed = isNumberKey ? written.replace(",", ".") : written;
  if (NUMBER.test(pointed)) return Number(pointed);
  if (written === "true" || written === "false") return written === "true";
  return /^".+"$/u.test(written) ? written.slice(1, -1) : written;
}
