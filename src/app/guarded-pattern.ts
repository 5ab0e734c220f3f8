// A sheet's regular expression tried on a line, with a limit to the time it may take; used by foreign
// ports. A pattern written carelessly can need longer than the day for one hostile line.
import { createContext, Script } from "node:vm";
import type { ForeignGroups } from "../protocol/foreign-reader.ts";

/** A good pattern takes some hundredths of a millisecond on the longest line. */
const LIMIT_MS = 50;
/** chosen: the laptop itself may have been busy once. */
const TRIES = 2;
const TRY = new Script("pattern.exec(text)");

/** What trying gave: the groups, null for no match, or that the pattern is not tried any more. */
export type Tried =
  | { readonly is: "match"; readonly groups: ForeignGroups }
  | { readonly is: "no-match" }
  | { readonly is: "switched-off" };

export class GuardedPattern {
  private readonly inside: { pattern: RegExp; text: string };
  private isOff = false;

  /** @param pattern - as the sheet was checked to have it */
  constructor(pattern: string) {
    this.inside = { pattern: new RegExp(pattern, "u"), text: "" };
    createContext(this.inside);
  }

  /** Takes 0.1 s at most, and that only once. */
  try(text: string): Tried {
    this.inside.text = text;
    for (let left = TRIES; left > 0 && !this.isOff; left -= 1) {
      try {
        const found = TRY.runInContext(this.inside, {
          timeout: LIMIT_MS,
        }) as RegExpExecArray | null;
        return found === null ? { is: "no-match" } : { is: "match", groups: { ...found.groups } };
      } catch (error) {
        const isLate = error instanceof Error && "code" in error;
        if (!isLate || error.code !== "ERR_SCRIPT_EXECUTION_TIMEOUT") throw error;
      }
    }
    this.isOff = true;
    return { is: "switched-off" };
  }
}
