// How many lines that count for nothing go into the journal: a loose cable must not fill the disk.
// Asked by the recorder for each; what is left out is counted and said in one row a minute.
import type { HostUs } from "../domain/time.ts";

const A_MINUTE_US = 60_000_000;
const KEPT_A_MINUTE = 100;
/** chosen: a box sends at most 32 events again and again while they are not acknowledged. */
const REMEMBERED = 256;

export class KeptFaults {
  private beganAt: HostUs | null = null;
  private kept = 0;
  private leftOut = 0;
  /** Refused lines that are in the journal already, oldest first. */
  private readonly refused = new Set<string>();
  /** All lines left out so far. */
  total = 0;

  /** Counts the line. @returns true if it is to be kept */
  take(at: HostUs): boolean {
    this.beganAt ??= at;
    if (this.kept < KEPT_A_MINUTE) {
      this.kept += 1;
      return true;
    }
    this.leftOut += 1;
    this.total += 1;
    return false;
  }

  /** A box goes on sending what is refused: the same line is kept once. */
  takeRefused(raw: string, at: HostUs): boolean {
    if (this.refused.has(raw)) return false;
    if (!this.take(at)) return false;
    this.refused.add(raw);
    for (const oldest of this.refused) {
      if (this.refused.size <= REMEMBERED) break;
      this.refused.delete(oldest);
    }
    return true;
  }

  /** What was taken did not get to the disk: the next of each is kept. */
  forget(): void {
    this.refused.clear();
  }

  /**
   * Ends the minute if it is over (or `isLast`).
   *
   * @returns how many lines were left out in it
   */
  endMinute(at: HostUs, isLast = false): number {
    if (this.beganAt === null || (!isLast && at - this.beganAt < A_MINUTE_US)) return 0;
    const count = this.leftOut;
    this.beganAt = null;
    this.kept = 0;
    this.leftOut = 0;
    return count;
  }
}
