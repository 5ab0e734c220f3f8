// A key press as the console's commands see it; made by the controller.
import type { HostUs } from "../../domain/time.ts";

export interface Press {
  /** Digit of a numbered choice, 1 to 9; else null. */
  readonly digit: number | null;
  /** When the key's bytes arrived, by the laptop's monotonic clock. */
  readonly keyedAt: HostUs;
}
