// The built console on a real terminal of 100x30: how long from a passing on the wire to its text, and
// what the screen costs while nobody rides.
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { setTimeout as pause } from "node:timers/promises";
import { fileURLToPath } from "node:url";
import { openToWrite } from "../../src/cli/open-session.ts";
import { hostUs } from "../../src/domain/time.ts";
import type { EventMessage } from "../../src/protocol/message.ts";
import { inBenchFolder, projectFolder } from "./bench-folder.ts";
import { type DayFile, makeDayFile } from "./day-file.ts";
import { type Figure, figure } from "./figure.ts";
import { hellos, lapEvents, lapTimeS, linesOf } from "./invented-day.ts";
import { quantile } from "./quantile.ts";
import { lastLines } from "./shown-lines.ts";
import { TimedBox } from "./timed-box.ts";
import { TimedTerminal } from "./timed-terminal.ts";

/** Laps in the file at the start, and all of them. */
const HEARD = 40;
const LAPS = 80;
/** Between two events, so that none waits for the drawing of the one before it. */
const BETWEEN_MS = 60;
const REST_MS = 15_000;
/** A minute after the port was opened the clocks are asked every five seconds, not every one. */
const SETTLED_MS = 62_000;
/** Of /proc: USER_HZ is 100 on every Linux that Node runs on. */
const MS_A_TICK = 10;
const FRAME_CLOSE = `${String.fromCharCode(27)}[?2026l`;

export async function screenFigures(): Promise<readonly Figure[]> {
  return await inBenchFolder(async (folder) => {
    const port = join(folder, "port");
    const day = makeDayFile({ file: join(folder, "day.swaplap"), port, laps: LAPS, heard: HEARD });
    openToWrite(day.file).close();
    const box = new TimedBox(port);
    await box.plug();
    const program = join(projectFolder, "dist", "swaplap.js");
    const words = [process.execPath, program, "console", day.file, "--port", port];
    const terminal = new TimedTerminal(words);
    await terminal.shows(/LIVE/u);
    await box.isAsked();
    const openedMs = performance.now();
    await box.say(linesOf(hellos(nowUs(), HEARD)));
    const events = await eventFigures(day, box, terminal);
    const rest = await restFigures(terminal, openedMs);
    await terminal.end();
    await box.end();
    return [...events, ...rest];
  });
}

async function eventFigures(
  day: DayFile,
  box: TimedBox,
  terminal: TimedTerminal,
): Promise<readonly Figure[]> {
  const taken: number[] = [];
  for (let lap = HEARD; lap < LAPS; lap += 1) {
    for (const event of lapEvents(lap, day.beganAt)) {
      await pause(BETWEEN_MS);
      const saidUs = await box.say(linesOf([event]));
      const text = shownFor(event, lap);
      if (text !== null) taken.push(((await terminal.shows(text)) - saidUs) / 1000);
    }
  }
  return [
    figure("screen.event_ms_p50", quantile(taken, 0.5), "ms"),
    figure("screen.event_ms_p99", quantile(taken, 0.99), "ms"),
  ];
}

/** What a start and a finish bring to the list of runs; the others have no text of their own there. */
function shownFor(event: EventMessage, lap: number): RegExp | null {
  if (event.kind !== "B" || event.role === "P1") return null;
  const run = `^ +${String(lap + 1)} [AB] .* `;
  if (event.role === "S") return new RegExp(`${run}riding`, "mu");
  const s = lapTimeS(lap) - 0.00025;
  const minutes = s < 60 ? "" : `${String(Math.floor(s / 60))}:`;
  const time = minutes + (s % 60).toFixed(3).padStart(minutes === "" ? 0 : 6, "0");
  return new RegExp(`${run}${time}`, "mu");
}

async function restFigures(terminal: TimedTerminal, openedMs: number): Promise<readonly Figure[]> {
  const script = fileURLToPath(new URL("./plain-frame.ts", import.meta.url));
  const frame = Buffer.from(JSON.stringify(lastLines(terminal.pieces))).toString("base64");
  const plain = new TimedTerminal([process.execPath, "--import", "tsx", script, frame]);
  await plain.shows(/LIVE/u);
  await pause(Math.max(2000, openedMs + SETTLED_MS - performance.now()));
  const [ours, theirs] = await Promise.all([atRest(terminal), atRest(plain)]);
  await plain.end();
  const what = "the same frame written without React";
  return [
    figure("screen.idle_cpu_pct", ours.cpuPct, "%", { what, value: theirs.cpuPct }),
    figure("screen.bytes_per_tick", ours.bytes, "bytes", { what, value: theirs.bytes }),
  ];
}

/** Share of one core, and bytes a frame, over a while in which nothing happens. */
async function atRest(terminal: TimedTerminal): Promise<{ cpuPct: number; bytes: number }> {
  const from = terminal.pieces.length;
  const cpuMs = cpuTimeMs(terminal.pid);
  const began = performance.now();
  await pause(REST_MS);
  const cpuPct = (100 * (cpuTimeMs(terminal.pid) - cpuMs)) / (performance.now() - began);
  const text = terminal.pieces
    .slice(from)
    .map((piece) => piece.text)
    .join("");
  const frames = text.split(FRAME_CLOSE).length - 1;
  if (frames < REST_MS / 2000) throw new Error(`only ${String(frames)} frames at rest`);
  return { cpuPct, bytes: Buffer.byteLength(text) / frames };
}

/** @see proc(5), /proc/pid/stat: utime and stime are fields 14 and 15 */
function cpuTimeMs(pid: number | null): number {
  const stat = readFileSync(`/proc/${String(pid)}/stat`, "utf8");
  const fields = stat.slice(stat.lastIndexOf(")") + 2).split(" ");
  return (Number(fields[11]) + Number(fields[12])) * MS_A_TICK;
}

function nowUs(): ReturnType<typeof hostUs> {
  return hostUs(Number(process.hrtime.bigint() / 1000n));
}
