// Runs of the laptop's clock: over which its monotonic clock went on without standing still. Called by
// whatever reads the laptop's clocks; fits and run times never cross from one to the next.

/** The laptop's clocks at one moment, us. */
export interface ClockLook {
  /** Since 1970 UTC; people and the network may set it. */
  readonly wallUs: number;
  /** Monotonic; stands still while the laptop sleeps. */
  readonly monoUs: number;
  /** How long this boot has slept; null where the system does not tell. */
  readonly asleepUs: number | null;
}

/** One run of the laptop's clock. */
export interface HostEpoch {
  /** Different for each run of each boot. */
  readonly name: string;
  /** How far the clocks stood apart when last compared, us. */
  readonly partedUs: number;
}

/**
 * chosen: far above what a network slews a clock between two looks (0.5 ms a second), below any sleep
 * that matters; test/clock/host-epoch.test.ts holds both sides.
 */
const PARTED_US = 500_000;

function parted({ wallUs, monoUs, asleepUs }: ClockLook): number {
  return asleepUs ?? wallUs - monoUs;
}

/**
 * The run of the clock at a process's first look. Named by the seconds slept so far, so that every
 * process of this boot says the same; where those are not told, by the boot alone.
 *
 * @param boot - name of the laptop's boot
 */
export function firstEpoch(boot: string, look: ClockLook): HostEpoch {
  const asleepS = Math.round((look.asleepUs ?? 0) / 1e6);
  return { name: asleepS === 0 ? boot : `${boot}+${String(asleepS)}`, partedUs: parted(look) };
}

/**
 * The run of the clock now: a new one if the laptop slept over half a second since, or, where that is
 * not told, if wall and monotonic clock parted by as much since the last look.
 */
export function epochAt(epoch: HostEpoch, boot: string, look: ClockLook): HostEpoch {
  const partedUs = parted(look);
  if (Math.abs(partedUs - epoch.partedUs) <= PARTED_US) {
    // Sleep is counted from the run's start, so that short ones add up; a wall clock may creep for ever.
    return look.asleepUs === null ? { ...epoch, partedUs } : epoch;
  }
  if (look.asleepUs !== null) return firstEpoch(boot, look);
  return { name: `${boot}~${String(Math.round(look.monoUs / 1000))}`, partedUs };
}
