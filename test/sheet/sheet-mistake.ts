// What the tests of mistakes in sheets share: the error for a text, and sheets to put a case into.
import { UserError } from "../../src/domain/errors.ts";
import { readSheet } from "../../src/sheet/session-sheet.ts";

export type MistakeCase = readonly [what: string, text: string, message: string];

/** The error that reading gives; throws if it gives none or another kind. */
export function sheetMistake(text: string): UserError {
  try {
    readSheet(text, "day.toml", { zone: "UTC", date: "2026-01-31", seed: 1 });
  } catch (error) {
    if (error instanceof UserError) return error;
    throw error;
  }
  throw new Error(`no mistake found in:\n${text}`);
}

/** Lines 1 to 2, then the case, then two set-ups. */
export function inSession(lines: string): string {
  return `[session]\nname = "x"\n${lines}\n[[setups]]\nid = "A"\n[[setups]]\nid = "B"\n`;
}

/** Lines 1 to 6, then the case. */
export function afterSetups(lines: string): string {
  return `[session]\nname = "x"\n[[setups]]\nid = "A"\n[[setups]]\nid = "B"\n${lines}`;
}

/** Gates from line 7 on, each after its header. */
export function withGates(...gates: string[]): string {
  return afterSetups(gates.map((lines) => `[[gates]]\n${lines}\n`).join(""));
}
