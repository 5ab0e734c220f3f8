// This laptop's clocks and timers, for everything that is handed its time. Made once, in main.
import { readFileSync } from "node:fs";
import { hostname, uptime } from "node:os";
import type { AppClock, Scheduler } from "../app/needs.ts";
import { hostUs } from "../domain/time.ts";

/** Wall and monotonic clock of this laptop; `host` names this boot of it. */
export function laptopClock(): AppClock {
  return {
    atUs: () => Date.now() * 1000,
    monoUs: () => hostUs(Number(process.hrtime.bigint() / 1000n)),
    host: bootId(),
  };
}

/** Timers that do not keep a finished program alive. */
export const laptopTimers: Scheduler = {
  every: (ms, job) => {
    const timer = setInterval(job, ms);
    return () => {
      clearInterval(timer);
    };
  },
  after: (ms, job) => {
    const timer = setTimeout(job, ms);
    return () => {
      clearTimeout(timer);
    };
  },
};

function bootId(): string {
  try {
    return readFileSync("/proc/sys/kernel/random/boot_id", "utf8").trim();
  } catch (error) {
    // Only Linux has that file; elsewhere the start of this boot, to ten seconds, names it well enough.
    if (!(error instanceof Error && "code" in error)) throw error;
    return `${hostname()}-${String(Math.round((Date.now() / 1000 - uptime()) / 10))}`;
  }
}
