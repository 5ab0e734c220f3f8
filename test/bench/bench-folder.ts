// A folder for session files on the disk that the project lies on, gone at the end; for every bench
// that writes. The system's temporary folder may be in memory, where a commit costs nothing.
import { mkdirSync, mkdtempSync, rmSync } from "node:fs";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

export const projectFolder = fileURLToPath(new URL("../..", import.meta.url));

export async function inBenchFolder<T>(work: (folder: string) => Promise<T> | T): Promise<T> {
  const parent = join(projectFolder, "dist");
  mkdirSync(parent, { recursive: true });
  const folder = mkdtempSync(join(parent, "bench-"));
  try {
    return await work(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}
