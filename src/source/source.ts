// What every source of bytes is to the recorder: a serial port, a recording, the practice hill.
import type { HostUs } from "../domain/time.ts";

/** What a source tells; handed in at `open`. */
export interface SourceEvents {
  /** @param at - arrival on the host's monotonic clock, taken before anything else was done */
  bytes(bytes: Uint8Array, at: HostUs): void;
  /** The other end can be heard and spoken to; again after each reconnect. */
  opened(): void;
  /**
   * A state to show, not an exception; the source goes on trying by itself.
   *
   * @param reason - what happened, naming the thing
   * @param hint - what to do about it
   */
  lost(reason: string, hint: string): void;
}

/** Bytes only: what they mean is the decoder's business. */
export interface Source {
  readonly name: string;
  open(on: SourceEvents): void;
  /** Sends what can be sent now; the rest is dropped: every line of the protocol is asked for again. */
  write(bytes: Uint8Array): void;
  /** Nothing is told any more once it has been called. */
  close(): Promise<void>;
}
