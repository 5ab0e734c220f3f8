// A sheet's regular expression tried on a line, with a limit to the time it may take; used by foreign
// ports. A pattern written carelessly can need longer than the day for one hostile line.
import { cpuUsage } from "node:process";
import { createContext, Script } from "node:vm";
import type { ForeignGroups } from "../protocol/foreign-reader.ts";

/**
 * A good pattern takes some hundredths of a millisecond on the longest line. Counted is what the
 * processor did: a busy laptop that stands still for this long must not cost the day its times.
 */
const LIMIT_MS = 50;
const TRY = new Script("pattern.exec(text)");

/** What trying gave: the groups, null for no match, or that the pattern is not tried any more. */
export type Tried =
  | { readonly is: "match"; readonly groups: ForeignGroups }
  | { readonly is: "no-match" }
  | { readonly is: "switched-off" };

export class GuardedPattern {
  private readonly inside: { readonly pattern: RegExp; text: string };
  private isOff = false;

  /** @param pattern - a regular expression, as the sheet was checked to have */
  constructor(pattern: string) {
    this.inside = { pattern: new RegExp(pattern, "u"), text: "" };
    createContext(this.inside);
  }

  try(text: string): Tried {
    this.inside.text = text;
    const began = cpuUsage();
    while (!this.isOff) {
      try {
        const found = TRY.runInContext(this.inside, {
          timeout: LIMIT_MS,
        }) as RegExpExecArray | null;
        return found === null ? { is: "no-match" } : { is: "match", groups: { ...found.groups } };
      } catch (error) {
        if (!isTimeout(error)) throw error;
        const { user, system } = cpuUsage(began);
        this.isOff = user + system >= LIMIT_MS * 1000;
      }
    }
    return { is: "switched-off" };
  }
}

function isTimeout(error: unknown): boolean {
  const isCoded = typeof error === "object" && error !== null && "code" in error;
  return isCoded && error.code === "ERR_SCRIPT_EXECUTION_TIMEOUT";
}
