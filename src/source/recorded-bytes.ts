// A recording played as if it came in now; a source for tests and for looking at old recordings.
import { type HostUs, hostUs } from "../domain/time.ts";
import type { Source, SourceEvents } from "./source.ts";

export interface Recording {
  readonly name: string;
  readonly bytes: Uint8Array;
  /** Sizes of the chunks, used over and over; each at least 1. */
  readonly cuts: readonly number[];
  /** Arrival of the first chunk, and time from each to the next, us. */
  readonly startUs: HostUs;
  readonly everyUs: number;
}

/** Nothing comes until `play` is called; what is written to it can be looked at. */
export class RecordedBytes implements Source {
  readonly name: string;
  readonly written: Uint8Array[] = [];
  private readonly recording: Recording;
  private on: SourceEvents | undefined;

  /** @throws {RangeError} if there is no cut, or one below 1 */
  constructor(recording: Recording) {
    if (recording.cuts.length === 0 || recording.cuts.some((size) => !(size >= 1))) {
      throw new RangeError("cuts are sizes of at least one byte");
    }
    this.recording = recording;
    this.name = recording.name;
  }

  open(on: SourceEvents): void {
    this.on = on;
    on.opened();
  }

  write(bytes: Uint8Array): void {
    this.written.push(bytes);
  }

  close(): Promise<void> {
    this.on = undefined;
    return Promise.resolve();
  }

  /** Hands out the whole recording, chunk by chunk, then says that it has ended. */
  play(): void {
    const { bytes, cuts, startUs, everyUs } = this.recording;
    let from = 0;
    for (let i = 0; from < bytes.length; i += 1) {
      const size = Math.floor(cuts[i % cuts.length] ?? 1);
      this.on?.bytes(bytes.slice(from, from + size), hostUs(startUs + i * everyUs));
      from += size;
    }
    this.on?.lost(`${this.name} has ended`, "nothing more is recorded");
  }
}
