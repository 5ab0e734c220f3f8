// One port with a receiver that does not speak our protocol: bytes to lines to passings, in order. Used
// by the recorder, and by `listen` to try a pattern out.
import type { Result } from "../domain/errors.ts";
import type { ForeignLine } from "../domain/foreign-line.ts";
import type { HostUs } from "../domain/time.ts";
import {
  cutForeign,
  foreignCutStart,
  LONGEST_LINE,
  shownForeign,
} from "../protocol/foreign-cut.ts";
import {
  type ForeignArrival,
  type ForeignPassing,
  foreignStart,
  readForeign,
} from "../protocol/foreign-reader.ts";
import { parseLine } from "../protocol/parse-box-line.ts";
import { GuardedPattern } from "./guarded-pattern.ts";

/** A line as it came, printable, and what it came to. */
export interface ForeignHeard {
  readonly shown: string;
  readonly arrival: ForeignArrival;
  /** The passing, or why there is none, in words. */
  readonly read: Result<ForeignPassing, string>;
  /** Something worth saying beside it, in words; null if there is nothing. */
  readonly notice: string | null;
}

export class ForeignPort {
  readonly line: ForeignLine;
  private readonly name: string;
  private readonly pattern: GuardedPattern;
  private cut = foreignCutStart;
  private state;

  /** @param boot - number of the clock run that the first line begins */
  constructor(name: string, line: ForeignLine, boot: number) {
    this.name = name;
    this.line = line;
    this.pattern = new GuardedPattern(line.pattern);
    this.state = foreignStart(boot);
  }

  /** The port was opened, again perhaps: what was unfinished stays so. */
  opened(): void {
    this.cut = foreignCutStart;
  }

  /** @param at - arrival of the chunk, which counts for the lines that end in it */
  take(bytes: Uint8Array, at: HostUs, host: string): readonly ForeignHeard[] {
    const { lines, state } = cutForeign(this.cut, bytes);
    this.cut = state;
    const arrival = { at, host };
    return lines.map(({ text, isTooLong }) => {
      const failed = (error: string, notice: string | null = null): ForeignHeard => ({
        shown: shownForeign(text),
        arrival,
        read: { ok: false, error },
        notice,
      });
      if (isTooLong) return failed(`a line longer than ${String(LONGEST_LINE)} bytes`);
      const tried = this.pattern.try(text);
      if (tried.is === "no-match") {
        return failed(`does not match the pattern ${this.line.name}`, this.oddSpeaker(text));
      }
      if (tried.is === "switched-off") {
        const off = `the pattern ${this.line.name} is switched off: it took over 50 ms for one line`;
        return failed(off, `${off}; simplify it in the sheet, or key the times`);
      }
      const next = readForeign(this.line, this.state, tried.groups, arrival);
      this.state = next.state;
      if (!next.read.ok) return failed(next.read.error);
      return {
        shown: shownForeign(text),
        arrival,
        read: next.read,
        notice: this.jumpWords(next.read.value),
      };
    });
  }

  private oddSpeaker(text: string): string | null {
    if (!parseLine(text).ok) return null;
    return `a box of ours is heard on ${this.name}: start again with --port ${this.name}, without =${this.line.name}`;
  }

  private jumpWords({ jump }: ForeignPassing): string | null {
    if (jump === null) return null;
    const by = `by the clock of lines ${this.line.name} ${jump.receiverS.toFixed(1)} s went by, by this laptop's ${jump.laptopS.toFixed(1)} s`;
    return `${by}: it is taken as started again; check unit and latency_s if this comes often`;
  }
}
