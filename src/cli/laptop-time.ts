// This laptop's clocks and timers, for everything that is handed its time. Made once, in main.
import { readFileSync } from "node:fs";
import { hostname, uptime } from "node:os";
import type { AppClock, Scheduler } from "../app/needs.ts";
import { type ClockLook, epochAt, firstEpoch } from "../clock/host-epoch.ts";
import { type HostUs, hostUs } from "../domain/time.ts";

/**
 * Wall and monotonic clock of this laptop. `host` names a stretch of time over which its monotonic
 * clock ran on: one boot, and within it the time since the lid was last opened, because that clock
 * stands still while the laptop sleeps.
 */
export function laptopClock(): AppClock {
  const boot = bootId();
  const look = (): ClockLook => ({
    wallUs: Date.now() * 1000,
    monoUs: monotonicUs(),
    asleepUs: asleepUs(),
  });
  let epoch = firstEpoch(boot, look());
  return {
    atUs: () => Date.now() * 1000,
    monoUs: monotonicUs,
    get host() {
      epoch = epochAt(epoch, boot, look());
      return epoch.name;
    },
  };
}

function monotonicUs(): HostUs {
  return hostUs(Number(process.hrtime.bigint() / 1000n));
}

/**
 * How long this boot has slept so far, us; null where it cannot be told.
 *
 * @see proc(5): /proc/uptime counts time spent in suspend, CLOCK_MONOTONIC (clock_gettime(2)) doesn't
 */
function asleepUs(): number | null {
  const uptimeS = Number(readOr("/proc/uptime", "").split(" ")[0]);
  return uptimeS > 0 ? Math.max(0, uptimeS * 1e6 - monotonicUs()) : null;
}

/** Only Linux has these files; elsewhere there is nothing to read. */
function readOr(file: string, otherwise: string): string {
  try {
    return readFileSync(file, "utf8");
  } catch (error) {
    if (!(error instanceof Error && "code" in error)) throw error;
    return otherwise;
  }
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

/** Where there is no boot id, the start of this boot, to ten seconds, names it well enough. */
function bootId(): string {
  const id = readOr("/proc/sys/kernel/random/boot_id", "").trim();
  if (id !== "") return id;
  return `${hostname()}-${String(Math.round((Date.now() / 1000 - uptime()) / 10))}`;
}
