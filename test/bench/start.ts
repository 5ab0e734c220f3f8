// From the start of the built program to its first frame on a terminal, with a session of 40 runs;
// against starting Node alone.
import { join } from "node:path";
import { openToWrite } from "../../src/cli/open-session.ts";
import { inBenchFolder, projectFolder } from "./bench-folder.ts";
import { makeDayFile } from "./day-file.ts";
import { type Figure, figure } from "./figure.ts";
import { median } from "./quantile.ts";
import { TimedTerminal } from "./timed-terminal.ts";

const TIMES = 9;
const RUNS = 40;

export async function startFigures(): Promise<readonly Figure[]> {
  return await inBenchFolder(async (folder) => {
    const file = join(folder, "day.swaplap");
    makeDayFile({ file, port: "/dev/gates", laps: RUNS, heard: RUNS });
    openToWrite(file).close();
    const ours: number[] = [];
    const alone: number[] = [];
    for (let i = 0; i < TIMES; i += 1) {
      const program = join(projectFolder, "dist", "swaplap.js");
      const terminal = new TimedTerminal([process.execPath, program, "console", file, "--hand"]);
      const atUs = await terminal.shows(/LIVE/u);
      ours.push((atUs - (terminal.beganUs ?? 0)) / 1000);
      await terminal.end();
      alone.push(await new TimedTerminal([process.execPath, "-e", "0"]).ends());
    }
    const yardstick = { what: "node -e 0", value: median(alone) };
    return [figure("start.first_frame_ms", median(ours), "ms", yardstick)];
  });
}
