// What the tests of the timing boxes need of the machine, and the two programs built once; used by
// every test of this folder.
import { spawnSync } from "node:child_process";
import { existsSync } from "node:fs";
import { resolve } from "node:path";

const SIMULATOR = resolve("hardware/simulator");
const FIRMWARE = resolve("hardware/firmware");

/** Runs a command once nobody else holds the lock. */
const LOCKED = "flock";
/** Folders, and what to make there. */
const PROGRAMS = [[SIMULATOR], [FIRMWARE, "box.elf", "box-wrap.elf"]] as const;

/** The simulated board. */
export const BOXSIM = `${SIMULATOR}/build/boxsim`;
/** The box's program. */
export const BOX_ELF = `${FIRMWARE}/build/box.elf`;
/** The same with its clock preset to one second before 2^32 us. */
export const WRAP_ELF = `${FIRMWARE}/build/box-wrap.elf`;

/** What is missing on this machine, in words; empty if nothing is. */
function missingTools(): string {
  const isThere = (name: string): boolean => spawnSync(name, ["--version"]).status === 0;
  const missing = ["make", LOCKED, "gcc", "avr-gcc"].filter((name) => !isThere(name));
  if (!existsSync("/usr/lib/avr/include/avr/io.h")) missing.push("avr-libc");
  if (!existsSync("/usr/include/simavr/sim_avr.h")) missing.push("libsimavr-dev");
  return missing.join(", ");
}

const missing = missingTools();

/** True where the boxes cannot be built. */
export const isSkipped = missing !== "";

/** Goes behind the name of a test, so that a skipped one says why. */
export const because = isSkipped ? ` (skipped: without ${missing})` : "";

/**
 * Builds both programs; a second test file waits for the first one.
 *
 * @throws {Error} with the compiler's words
 */
export function buildBoxes(): void {
  if (isSkipped) return;
  for (const [folder, ...goals] of PROGRAMS) {
    const made = spawnSync(
      "flock",
      [`${SIMULATOR}/Makefile`, "make", "-s", "-C", folder, ...goals],
      {
        encoding: "utf8",
      },
    );
    if (made.status !== 0) throw new Error(`make -C ${folder}: ${made.stdout}${made.stderr}`);
  }
}
