// A remark as one sentence with its weight in front; called by console and plain output.
import type { Remark } from "../../domain/remark.ts";

const MARKS: Readonly<Record<Remark["level"], string>> = { ask: "? ", warn: "! ", note: "" };

/** `? run 7 was 4.2 s slower ...` asks, `! ...` warns, a note stands for itself. */
export function remarkWords({ level, text }: Remark): string {
  return MARKS[level] + text;
}
