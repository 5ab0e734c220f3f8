// The laptop's own battery as Linux shows it in files; called by the console each minute. Where there
// is none, or another system, it knows nothing and says nothing.
import { readdirSync, readFileSync } from "node:fs";
import { join } from "node:path";

export interface LaptopBattery {
  /** Of all its batteries, 0 to 100 % of full. */
  readonly percent: number;
  readonly isCharging: boolean;
}

/**
 * Reads every battery; those of mice, keyboards and pads (scope `Device`) are passed over.
 *
 * @param folder - one folder a supply, each with files `type`, `scope`, `capacity`, `status`
 * @returns null without a battery that tells its charge
 * @see Linux, Documentation/ABI/testing/sysfs-class-power (from memory)
 */
export function laptopBattery(folder = "/sys/class/power_supply"): LaptopBattery | null {
  const found = suppliesIn(folder).flatMap((name) => {
    const read = (file: string): string => wordIn(join(folder, name, file));
    const capacity = read("capacity");
    const isOurs = read("type") === "Battery" && read("scope") !== "Device";
    if (!isOurs || !/^\d{1,3}$/.test(capacity)) return [];
    return [{ percent: Math.min(100, Number(capacity)), status: read("status") }];
  });
  if (found.length === 0) return null;
  const sum = found.reduce((total, { percent }) => total + percent, 0);
  const isCharging = found.some(({ status }) => status === "Charging" || status === "Full");
  return { percent: Math.round(sum / found.length), isCharging };
}

/** `laptop 78 %`, `laptop 78 %, charging`. */
export function laptopBatteryWords({ percent, isCharging }: LaptopBattery): string {
  return `laptop ${String(percent)} %${isCharging ? ", charging" : ""}`;
}

function suppliesIn(folder: string): readonly string[] {
  try {
    return readdirSync(folder);
  } catch (error) {
    return nothingThere(error, []);
  }
}

function wordIn(file: string): string {
  try {
    return readFileSync(file, "utf8").trim();
  } catch (error) {
    return nothingThere(error, "");
  }
}

/** A supply that is not there, is unplugged meanwhile or cannot be read now is no fault of ours. */
function nothingThere<T>(error: unknown, nothing: T): T {
  if (error instanceof Error && "code" in error) return nothing;
  throw error;
}
