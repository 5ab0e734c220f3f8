// What `swaplap calibrate` says of a plan, kept in a folder so that hours of work can go on where they
// stopped; called by error-rates.ts and order-rates.ts.
import { execFileSync } from "node:child_process";
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readFileSync,
  renameSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import type { Calibration } from "../../src/calibrate/calibration.ts";

/** What is asked of the built program. */
export interface Asked {
  /** In words, unlike that of everything else that is asked. */
  readonly name: string;
  /** The session sheet. */
  readonly sheet: string;
  readonly order: string;
  readonly kinds: string;
  readonly days: number;
}

/**
 * Asks the built program, unless the folder has the answer already.
 *
 * @param keep - the folder; undefined: one that nobody will look into again
 * @param threads - processor cores; undefined: all
 */
export function calibrations(
  keep: string | undefined,
  threads: string | undefined,
): (asked: Asked) => Calibration {
  const folder = keep ?? mkdtempSync(join(tmpdir(), "swaplap-rates-"));
  mkdirSync(folder, { recursive: true });
  return ({ name: words, sheet, order, kinds, days }) => {
    const name = `${words} ${order} ${kinds} ${String(days)}`.replaceAll(/[^a-z0-9.]+/g, "-");
    const kept = join(folder, `${name}.json`);
    if (!existsSync(kept)) {
      const file = join(folder, `${name}.toml`);
      writeFileSync(file, sheet);
      process.stderr.write(`${name}\n`);
      const out = execFileSync(
        process.execPath,
        ["dist/swaplap.js", "calibrate", file, "--json", "--order", order, "--kinds", kinds].concat(
          ["--days", String(days)],
          threads === undefined ? [] : ["--threads", threads],
        ),
        { encoding: "utf8", stdio: ["ignore", "pipe", "ignore"], maxBuffer: 64 * 1024 * 1024 },
      );
      writeFileSync(`${kept}.part`, out);
      renameSync(`${kept}.part`, kept);
    }
    return JSON.parse(readFileSync(kept, "utf8")) as Calibration;
  };
}

/** A table in Markdown. */
export function markdownTable(
  head: readonly string[],
  rows: readonly (readonly string[])[],
): string {
  const line = (cells: readonly string[]): string => `| ${cells.join(" | ")} |`;
  return [line(head), line(head.map(() => "---")), ...rows.map(line)].join("\n");
}
