// A clock and timers that stand still until they are moved: practice runs on it, flat out or at so
// many times real speed.

import type { AppClock, Scheduler } from "../app/needs.ts";
import { type HostUs, hostUs } from "../domain/time.ts";

interface Job {
  dueUs: number;
  readonly everyUs: number | null;
  readonly run: () => void;
}

export class VirtualTime implements Scheduler {
  private nowUs: number;
  private readonly jobs = new Set<Job>();

  /** @param startUs - the first instant, microseconds on an invented monotonic clock */
  constructor(startUs: number) {
    this.nowUs = startUs;
  }

  now(): HostUs {
    return hostUs(this.nowUs);
  }

  every(ms: number, run: () => void): () => void {
    return this.add({ dueUs: this.nowUs + ms * 1000, everyUs: ms * 1000, run });
  }

  after(ms: number, run: () => void): () => void {
    return this.add({ dueUs: this.nowUs + ms * 1000, everyUs: null, run });
  }

  /** Runs every job that is due up to and including `us`, in order, then stands at `us`. */
  advanceTo(us: number): void {
    for (let job = this.nextDue(us); job !== undefined; job = this.nextDue(us)) {
      this.nowUs = Math.max(this.nowUs, job.dueUs);
      if (job.everyUs === null) this.jobs.delete(job);
      else job.dueUs += job.everyUs;
      job.run();
    }
    this.nowUs = Math.max(this.nowUs, us);
  }

  private add(job: Job): () => void {
    this.jobs.add(job);
    return () => {
      this.jobs.delete(job);
    };
  }

  private nextDue(us: number): Job | undefined {
    let found: Job | undefined;
    for (const job of this.jobs) {
      if (job.dueUs <= us && (found === undefined || job.dueUs < found.dueUs)) found = job;
    }
    return found;
  }
}

/** A laptop whose clocks are those of `time`; its wall clock begins at `startAtUs`. */
export function virtualClock(time: VirtualTime, startAtUs: number, host: string): AppClock {
  const offsetUs = startAtUs - time.now();
  return { atUs: () => time.now() + offsetUs, monoUs: () => time.now(), host };
}
