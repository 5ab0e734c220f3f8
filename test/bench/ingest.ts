// Bytes on a real pseudo-terminal to events committed and acknowledged, through the serial library,
// the recorder, the fold, the comparison and the derived tables.
import { join } from "node:path";
import Database from "better-sqlite3";
import { Recorder } from "../../src/app/recorder.ts";
import type { SessionFile } from "../../src/app/session-file.ts";
import { laptopClock, laptopTimers } from "../../src/cli/laptop-time.ts";
import { openToWrite } from "../../src/cli/open-session.ts";
import { encodeHostLine } from "../../src/protocol/encode.ts";
import type { EventMessage } from "../../src/protocol/message.ts";
import { SerialSource } from "../../src/source/serial-port.ts";
import { inBenchFolder } from "./bench-folder.ts";
import { type DayFile, makeDayFile } from "./day-file.ts";
import { type Figure, figure } from "./figure.ts";
import { hellos, lapEvents, linesOf } from "./invented-day.ts";
import { median, quantile } from "./quantile.ts";
import { TimedBox } from "./timed-box.ts";

/** 240 events, one at a time. */
const LAPS_ONE_BY_ONE = 40;
/** 10 h of laps: 2400 events, what the boxes of a whole day hold if nobody was listening. */
const LAPS_AT_ONCE = 400;
/** What 115200 baud carries, 8N1, in lines of 48 bytes. */
const LINE_RATE = 240;

export async function ingestFigures(): Promise<readonly Figure[]> {
  return await inBenchFolder(async (folder) => {
    const bare = bareCommits(join(folder, "bare.db"));
    const commits = await recorded(folder, LAPS_ONE_BY_ONE, oneByOne);
    const rate = await recorded(folder, LAPS_AT_ONCE, allAtOnce);
    const against = "bare FULL commit of one row, ms";
    return [
      figure("ingest.commit_ms_p50", median(commits), "ms", {
        what: against,
        value: median(bare),
      }),
      figure("ingest.commit_ms_p99", quantile(commits, 0.99), "ms", {
        what: against,
        value: quantile(bare, 0.99),
      }),
      figure("ingest.rate", rate, "events/s", { what: "115200 baud carries", value: LINE_RATE }),
    ];
  });
}

/** ms of each commit of one row by the library alone. */
function bareCommits(file: string): readonly number[] {
  const db = new Database(file);
  try {
    db.pragma("journal_mode = WAL");
    db.pragma("synchronous = FULL");
    db.exec("CREATE TABLE t (id INTEGER PRIMARY KEY, body TEXT NOT NULL) STRICT");
    const insert = db.prepare("INSERT INTO t (body) VALUES (?)");
    const body = "x".repeat(300);
    return Array.from({ length: 300 }, () => {
      const began = performance.now();
      insert.run(body);
      return performance.now() - began;
    });
  } finally {
    db.close();
  }
}

interface Recording {
  readonly box: TimedBox;
  readonly day: DayFile;
  readonly laps: number;
}

/** A file whose day is over but for its passings, recorded into by `work`; then nothing is missing. */
async function recorded<T>(
  folder: string,
  laps: number,
  work: (recording: Recording) => Promise<T>,
): Promise<T> {
  const port = join(folder, `port-${String(laps)}`);
  const day = makeDayFile({ file: join(folder, `${String(laps)}.swaplap`), port, laps, heard: 0 });
  const clock = laptopClock();
  const file = openToWrite(day.file, clock);
  const box = new TimedBox(port);
  await box.plug();
  const recorder = new Recorder({
    file,
    sources: [new SerialSource(port)],
    clock,
    scheduler: laptopTimers,
    pid: process.pid,
    notice: () => undefined,
  });
  recorder.start();
  try {
    await box.isAsked();
    await box.say(linesOf(hellos(clock.monoUs(), 0)));
    const result = await work({ box, day, laps });
    nothingMissing(file, laps);
    return result;
  } finally {
    await recorder.stop("the bench is over");
    file.close();
    await box.end();
  }
}

/** ms of each event, from its bytes on the wire to its acknowledgement there. */
async function oneByOne({ box, day, laps }: Recording): Promise<readonly number[]> {
  const taken: number[] = [];
  for (let lap = 0; lap < laps; lap += 1) {
    for (const event of lapEvents(lap, day.beganAt)) {
      taken.push(await box.sayUntil(linesOf([event]), acknowledged(event), 10));
    }
  }
  return taken;
}

/** Events a second, all of them written as fast as the wire takes them. */
async function allAtOnce({ box, day, laps }: Recording): Promise<number> {
  const events = Array.from({ length: laps }, (_, lap) => lapEvents(lap, day.beganAt)).flat();
  const last = events.at(-1);
  if (last === undefined) throw new RangeError("no events");
  const ms = await box.sayUntil(linesOf(events), acknowledged(last), 120);
  return (events.length * 1000) / ms;
}

function acknowledged({ box, boot, seq }: EventMessage): string {
  return encodeHostLine({ type: "acknowledge", box, boot, seq });
}

/** Read back from the disk: every event once, every lap a counted run. */
function nothingMissing(file: SessionFile, laps: number): void {
  const events = file.store
    .readSince(0)
    .filter((e) => e.type === "line-received" && e.body.decoded?.["type"] === "event");
  const counted = file.summary().runs.filter((run) => run.status === "ok").length;
  if (events.length !== 6 * laps || counted !== laps) {
    const found = `${String(events.length)} events, ${String(counted)} counted runs`;
    throw new Error(`of ${String(laps)} laps only ${found} are in the file`);
  }
}
