// The recorder with a real file on disk: what is kept, what is answered, and in what order.
import { spawn } from "node:child_process";
import { once } from "node:events";
import { fileURLToPath } from "node:url";
import Database from "better-sqlite3";
import { expect, test } from "vitest";
import { verifyFile } from "../../src/app/verify.ts";
import { crc16, hex4 } from "../../src/protocol/crc.ts";
import { encodeBoxLine, lineBytes } from "../../src/protocol/encode.ts";
import type { BoxMessage } from "../../src/protocol/message.ts";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import { ofType, sheet, TestBox, TestLaptop, TestPort } from "./a-day.ts";

function aDay() {
  const laptop = new TestLaptop();
  const file = laptop.make();
  const port = new TestPort(laptop);
  const recorder = laptop.recorder(file, [port]);
  const start = new TestBox(laptop, "S1", "S", 1000, 18);
  const finish = new TestBox(laptop, "F1", "F", 20, 7);
  return { laptop, file, port, recorder, start, finish };
}

/** Lines of events in the journal: box, boot and number. */
function eventsIn(file: ReturnType<TestLaptop["open"]>): readonly string[] {
  return ofType(file, "line-received").flatMap(({ body }) =>
    body.fault === null && body.decoded?.["type"] === "event"
      ? [
          `${String(body.decoded["box"])} ${String(body.decoded["boot"])} ${String(body.decoded["seq"])}`,
        ]
      : [],
  );
}

/** Answers every clock question 4 ms after it was asked, for so many seconds. */
function runClocks(
  { laptop, port }: ReturnType<typeof aDay>,
  boxes: readonly TestBox[],
  seconds: number,
): void {
  port.onSent = (message) => {
    if (message.type !== "query") return;
    const box = boxes.find((candidate) => candidate.id === message.box);
    if (box === undefined) return;
    const answer = box.answer(message);
    laptop.time.after(4, () => {
      port.say(answer);
    });
  };
  for (let left = seconds; left > 0; left -= 2) {
    laptop.pass(Math.min(2, left));
    port.say(...boxes.map((box) => box.heartbeat()));
  }
}

test("an event is on the disk before it is acknowledged", () => {
  const { file, port, recorder, start } = aDay();
  const atAck: unknown[] = [];
  port.onSent = (message) => {
    if (message.type !== "acknowledge") return;
    // Another program looks at that very moment.
    const other = new Database(file.store.file, { readonly: true });
    const rows = other
      .prepare<[], { seq: number }>(
        "SELECT body ->> '$.decoded.seq' AS seq FROM journal WHERE type = 'line-received' AND body ->> '$.decoded.type' = 'event' ORDER BY journal.seq",
      )
      .all();
    atAck.push([message.seq, rows.map((row) => row.seq)]);
    other.close();
  };
  recorder.start();
  port.say(start.hello());
  port.say(start.event());
  port.say(start.event("C", 14), start.event());
  expect(atAck).toEqual([
    [1, [1]],
    [3, [1, 2, 3]], // one transaction and one acknowledgement for what came together
  ]);
  const [first] = ofType(file, "line-received").slice(-3);
  expect(first?.body.raw).toMatch(/^:1E,S1,0012,1,S,B,2000000000,0,-,3760,98\*[0-9A-F]{4}$/);
  expect(first).toMatchObject({ monoUs: 1_000e6, host: "laptop-1", who: "box" });
});

test("nothing is acknowledged while the disk is full, and all of it once there is room", () => {
  const { laptop, file, port, recorder, start } = aDay();
  recorder.start();
  port.say(start.hello());
  port.taken();
  const db = (file.store as unknown as { db: Database.Database }).db;
  db.pragma("max_page_count = 1"); // SQLite takes the present size for it
  const isFull = (): boolean => laptop.notices.some((text) => text.includes("disk is full"));
  let refused = start.event();
  port.say(refused);
  while (!isFull() && start.seq < 500) {
    expect(port.taken("acknowledge")).toHaveLength(1);
    refused = start.event();
    port.say(refused);
  }
  expect(laptop.notices.at(-1)).toMatch(/^the disk is full: nothing more can be written to/);
  expect(port.taken("acknowledge")).toEqual([]);
  expect(eventsIn(file)).toHaveLength(start.seq - 1);
  port.say(refused); // sent again: still no room, still no answer, not said again
  expect(port.taken("acknowledge")).toEqual([]);
  expect(laptop.notices.filter((text) => text.includes("disk is full"))).toHaveLength(1);
  db.pragma("max_page_count = 100000");
  port.say(refused);
  expect(port.taken("acknowledge")).toEqual([
    { type: "acknowledge", box: "S1", boot: 18, seq: start.seq },
  ]);
  expect(laptop.notices.at(-1)).toMatch(/can be written again$/);
  expect(eventsIn(file)).toHaveLength(start.seq);
});

test("a hole is asked for at once, again after a second, and closed by what comes", () => {
  const { laptop, port, recorder, start } = aDay();
  recorder.start();
  port.say(start.hello());
  const one = start.event();
  const two = start.event();
  const three = start.event();
  port.say(one);
  port.taken();
  port.say(three);
  const ask = { type: "resend", box: "S1", boot: 18, seq: 2 };
  expect(port.taken("resend")).toEqual([ask]);
  laptop.pass(0.9);
  expect(port.taken("resend")).toEqual([]);
  laptop.pass(0.2);
  expect(port.taken("resend")).toEqual([ask]);
  port.say(two);
  expect(port.taken("acknowledge")).toEqual([{ type: "acknowledge", box: "S1", boot: 18, seq: 3 }]);
  laptop.pass(3);
  expect(port.taken("resend")).toEqual([]);
});

test("events that the box no longer has are not asked for for ever, and the session says so", () => {
  const { laptop, file, port, recorder, start } = aDay();
  recorder.start();
  port.say(start.hello());
  port.say(start.event());
  start.seq += 2;
  port.say(start.event());
  port.taken();
  port.say({ type: "gone", box: "S1", boot: 18, fromSeq: 2, toSeq: 3 });
  expect(port.taken("acknowledge")).toEqual([{ type: "acknowledge", box: "S1", boot: 18, seq: 4 }]);
  laptop.pass(3);
  expect(port.taken("resend")).toEqual([]);
  expect(laptop.notices.at(-1)).toBe("box S1 no longer holds events 2 to 3");
  expect(ofType(file, "line-received").at(-1)?.body.decoded).toMatchObject({ type: "gone" });
});

test("a resend is not kept again, but counted and acknowledged again", () => {
  const { file, port, recorder, start } = aDay();
  recorder.start();
  port.say(start.hello());
  const event = start.event();
  port.say(event);
  port.taken();
  port.say(event);
  port.say(event, event);
  expect(eventsIn(file)).toEqual(["S1 18 1"]);
  expect(recorder.duplicates).toBe(3);
  const ack = { type: "acknowledge", box: "S1", boot: 18, seq: 1 };
  expect(port.taken("acknowledge")).toEqual([ack, ack]);
});

test("a line that comes in at two ports counts once", () => {
  const laptop = new TestLaptop();
  const file = laptop.make();
  const [cable, radio] = [new TestPort(laptop, "cable"), new TestPort(laptop, "radio")];
  const recorder = laptop.recorder(file, [cable, radio]);
  recorder.start();
  const box = new TestBox(laptop, "S1", "S");
  radio.say(box.hello());
  const event = box.event();
  cable.say(event);
  radio.say(event);
  expect(eventsIn(file)).toEqual(["S1 18 1"]);
  // Each time on the port that the box's newest line came in on.
  expect(cable.taken("acknowledge")).toHaveLength(1);
  expect(radio.taken("acknowledge")).toHaveLength(1);
});

test("on opening a port everybody is asked who they are; 5 s of silence are said", () => {
  const { laptop, file, port, recorder } = aDay();
  recorder.start();
  expect(port.taken()).toEqual([{ type: "identify", box: "?" }]);
  expect(ofType(file, "port-opened").map((e) => e.body)).toEqual([{ port: "/dev/ttyTEST0" }]);
  laptop.pass(4.9);
  expect(laptop.notices).toEqual([]);
  laptop.pass(0.2);
  const silent =
    "no box has answered on /dev/ttyTEST0 for 5 s: check the cable and the box's battery";
  expect(laptop.notices).toEqual([silent]);
  port.lose();
  expect(ofType(file, "port-lost").map((e) => e.body.reason)).toEqual(["/dev/ttyTEST0 is gone"]);
  expect(laptop.notices.at(-1)).toBe("/dev/ttyTEST0 is gone: put the cable back in");
  expect(file.session().ports).toMatchObject([{ isOpen: false, reason: "/dev/ttyTEST0 is gone" }]);
  laptop.pass(10); // no waiting for an answer while it is closed
  expect(laptop.notices).toHaveLength(2);
  port.taken();
  port.reopen();
  expect(port.taken()).toEqual([{ type: "identify", box: "?" }]);
  laptop.pass(5.1);
  expect(laptop.notices.at(-1)).toBe(silent);
});

test("a box that answers breaks the silence", () => {
  const { laptop, port, recorder, start } = aDay();
  recorder.start();
  laptop.pass(2);
  port.say(start.hello());
  laptop.pass(10);
  expect(laptop.notices).toEqual([]);
});

test("clocks are asked each second for a minute, then every five, never all boxes at once", () => {
  const { laptop, port, recorder, start, finish } = aDay();
  recorder.start();
  port.say(start.hello(), finish.hello());
  port.taken();
  const asked = (seconds: number): readonly string[] => {
    laptop.pass(seconds);
    return port.taken("query").map((q) => (q.type === "query" ? q.box : ""));
  };
  const fast = asked(60);
  for (const box of ["S1", "F1"]) {
    const count = fast.filter((id) => id === box).length;
    expect(count, box).toBeGreaterThanOrEqual(54);
    expect(count, box).toBeLessThanOrEqual(61);
  }
  asked(5);
  const slow = asked(60);
  for (const box of ["S1", "F1"]) {
    const count = slow.filter((id) => id === box).length;
    expect(count, box).toBeGreaterThanOrEqual(11);
    expect(count, box).toBeLessThanOrEqual(13);
  }
  expect([...fast, ...slow]).not.toContain("?");
});

test("an answer is kept raw with all four instants; its arrival is the stamp of its bytes", () => {
  const { laptop, file, port, recorder, start } = aDay();
  recorder.start();
  port.say(start.hello());
  laptop.pass(0.1);
  const [question] = port.taken("query");
  if (question?.type !== "query") throw new TypeError("no question");
  laptop.pass(0.004);
  port.say(start.answer(question));
  const t1Us = question.t1Us;
  expect(ofType(file, "clock-exchanged").map((e) => e.body)).toEqual([
    {
      ...{ box: "S1", boot: 18, port: "/dev/ttyTEST0" },
      ...{ t1Us, t2Us: t1Us + 1000e6 + 2000, t3Us: t1Us + 1000e6 + 2000, t4Us: t1Us + 4000 },
    },
  ]);
  // An answer from another time says nothing.
  port.say({ ...start.answer(question), t1Us: (t1Us - 20e6) as typeof t1Us } as BoxMessage);
  expect(ofType(file, "clock-exchanged")).toHaveLength(1);
});

test("a box that restarts is asked who it is and its clock afresh; the old boot is left alone", () => {
  const { laptop, file, port, recorder, start } = aDay();
  recorder.start();
  port.say(start.hello());
  port.say(start.event());
  laptop.pass(100);
  port.taken();
  start.boot = 19;
  start.seq = 0;
  port.say(start.event());
  expect(port.taken("identify")).toEqual([{ type: "identify", box: "S1" }]);
  expect(laptop.notices.at(-1)).toBe(
    "box S1 has restarted (boot 0013): its clock is being asked afresh",
  );
  port.say(start.hello(1));
  const toBoot = port.taken().flatMap((m) => ("boot" in m ? [m.boot] : []));
  expect(new Set(toBoot)).toEqual(new Set([19]));
  laptop.pass(10.05);
  expect(port.taken("query").length).toBeGreaterThanOrEqual(9);
  expect(eventsIn(file)).toEqual(["S1 18 1", "S1 19 1"]);
  expect(file.session().boxes[0]).toMatchObject({ box: "S1", boot: 19, restarts: 1 });
});

test("heartbeats without news are not kept, yet a living box never seems silent for 10 s", () => {
  const { laptop, file, port, recorder, start } = aDay();
  recorder.start();
  port.say(start.hello());
  const heartbeats = (): number =>
    ofType(file, "line-received").filter((e) => e.body.decoded?.["type"] === "heartbeat").length;
  let longestS = 0;
  for (let i = 0; i < 300; i += 1) {
    laptop.pass(2);
    port.say(start.heartbeat());
    const heard = file.session().boxes[0]?.lastHeardAt ?? 0;
    longestS = Math.max(longestS, (file.sessionUs(laptop.time.now()) - heard) / 1e6);
  }
  // Of 300: the first nine, then every third, with no answers to clock questions in between.
  expect(heartbeats()).toBe(106);
  expect(longestS).toBeLessThan(10);
  const before = heartbeats();
  port.say(start.heartbeat({ batteryMv: 3700 })); // a step down
  port.say(start.heartbeat({ batteryMv: 3700 }));
  expect(heartbeats()).toBe(before + 1);
  port.taken();
  port.say(start.heartbeat({ batteryMv: 3700, oldestSeq: 1, nextSeq: 2 })); // a lost last event
  expect(heartbeats()).toBe(before + 2);
  expect(port.taken("resend")).toEqual([{ type: "resend", box: "S1", boot: 18, seq: 1 }]);
});

test("while clock questions are answered, only the first nine heartbeats without news are kept", () => {
  const day = aDay();
  day.recorder.start();
  day.port.say(day.start.hello());
  runClocks(day, [day.start], 30);
  const lines = ofType(day.file, "line-received").map((e) => e.body.decoded?.["type"]);
  expect(lines).toEqual(["boot", ...Array.from({ length: 9 }, () => "heartbeat")]);
  expect(ofType(day.file, "clock-exchanged").length).toBeGreaterThan(25);
});

test("unreadable lines are kept, at most 100 a minute; the rest is counted and said", () => {
  const { laptop, file, port, recorder, start } = aDay();
  recorder.start();
  port.say(start.hello());
  const faults = (): readonly string[] =>
    ofType(file, "line-received").flatMap(({ body }) => body.fault ?? []);
  for (let i = 0; i < 130; i += 1) port.text(`:1E,S1,0012,${String(i)},S,B,1,0,-,1,1*0000\n`);
  expect(faults()).toHaveLength(100);
  expect(faults()[0]).toBe("a line damaged on the way: check the cable or the radio");
  expect(recorder.droppedFaults).toBe(30);
  port.say(start.event()); // the good ones still come through
  expect(eventsIn(file)).toEqual(["S1 18 1"]);
  laptop.pass(61);
  port.text(":1E,S1*0000\n");
  expect(faults()).toHaveLength(102);
  expect(faults()[100]).toBe(
    "30 more lines that could not be read or do not count, within a minute",
  );
  expect(file.session().faults.unreadable).toBe(102);
});

test("a newer protocol is said at once", () => {
  const { laptop, port, recorder } = aDay();
  recorder.start();
  const line = "2B,S1,0012,S,1235500000,143,145,2.0.0,500";
  port.text(`:${line}*${hex4(crc16(line))}\n`);
  const fault = laptop.notices.at(-1) ?? "";
  expect(fault).toBe("box S1 speaks gateline 2, this program knows 1: update it");
});

test("what is refused is kept once, however often it is sent, and never acknowledged", () => {
  const { laptop, file, port, recorder, start } = aDay();
  recorder.start();
  port.say(start.hello());
  const event = start.event();
  port.say(event);
  port.taken();
  laptop.pass(1);
  start.seq = 0;
  const other = start.event(); // the same number, another instant: two boxes with one id
  for (let i = 0; i < 20; i += 1) port.say(other);
  const refused = ofType(file, "line-received").filter(({ body }) => body.fault !== null);
  expect(refused).toHaveLength(1);
  expect(refused[0]?.body.fault).toMatch(/two different events under one number/);
  expect(port.taken("acknowledge")).toEqual([]);
  expect(file.session().passings).toHaveLength(1);
  expect(laptop.notices.filter((text) => text.includes("two boxes with this id"))).toHaveLength(1);
});

test("a box that stands elsewhere than the sheet says is named, once", () => {
  const { laptop, port, recorder } = aDay();
  recorder.start();
  const wrong = new TestBox(laptop, "P1", "S");
  port.say(wrong.hello());
  port.say(wrong.event(), wrong.event());
  const stranger = new TestBox(laptop, "X9", "F");
  port.say(stranger.hello());
  port.say(stranger.event());
  expect(laptop.notices).toEqual([
    "box P1 says it stands at the start, the session has it at split 1: it is timed as the session says; move the box or give it the other role",
    "box X9 is heard but stands at no gate of this session: its passings are kept and count for no run",
  ]);
});

test("a loop's one box may call itself start or finish", () => {
  const laptop = new TestLaptop();
  const gates = sheet.gates.filter((g) => g.role !== "split").map((g) => ({ ...g, box: "S1" }));
  const port = new TestPort(laptop);
  laptop.recorder(laptop.make({ ...sheet, gates }), [port]).start();
  port.say(new TestBox(laptop, "S1", "F").hello());
  expect(laptop.notices).toEqual([]);
});

test("a second recorder is told who has the file, and harms nothing", async () => {
  const { laptop, file, recorder } = aDay();
  recorder.start();
  const before = file.store.readSince(0).length;
  const child = spawn(process.execPath, ["-e", "setInterval(() => {}, 1000)"]);
  await once(child, "spawn");
  const second = laptop.recorder(laptop.open(file.store.file), [new TestPort(laptop)], child.pid);
  expect(() => {
    second.start();
  }).toThrow(
    expect.objectContaining({
      code: "in-use",
      message: `${file.store.file} is being recorded by another program (process ${String(process.pid)})`,
    }),
  );
  expect(file.store.readSince(0)).toHaveLength(before);
  laptop.pass(60); // renewed all the while
  expect(() => {
    second.start();
  }).toThrow(expect.objectContaining({ code: "in-use" }));
  await recorder.stop("test");
  second.start();
  expect(second.isRecording).toBe(true);
  await second.stop("test");
  child.kill();
  expect(ofType(file, "recorder-started")).toHaveLength(2);
  expect(ofType(file, "recorder-stopped").map((e) => e.body.reason)).toEqual(["test", "test"]);
});

test("a recorder whose lease was taken while it slept stops and says so", () => {
  const { laptop, file, port, recorder } = aDay();
  recorder.start();
  const other = { host: "laptop-2", pid: 4 };
  const later = laptop.clock.atUs() + 6e6;
  expect(laptop.open(file.store.file).store.takeLease(other, later)).toBeNull();
  laptop.pass(1.1);
  expect(recorder.isRecording).toBe(false);
  expect(port.isClosed).toBe(true);
  expect(laptop.notices.at(-1)).toBe(
    "process 4 has taken over recording into this file: nothing more is recorded here",
  );
});

test("a recorder started again goes on: nothing twice, holes asked for, riders still out", async () => {
  const day = aDay();
  const { laptop, file, port, recorder, start, finish } = day;
  recorder.start();
  port.say(start.hello(), finish.hello());
  runClocks(day, [start, finish], 20);
  port.say(start.event());
  start.seq += 1; // number 2 is lost on the way
  port.say(start.event("C", 12));
  expect(file.session().runs).toMatchObject([{ status: "on-course" }]);
  await recorder.stop("test");
  file.close();

  const again = laptop.open(file.store.file);
  expect(again.session().runs).toMatchObject([{ status: "on-course" }]);
  const port2 = new TestPort(laptop);
  const recorder2 = laptop.recorder(again, [port2]);
  recorder2.start();
  laptop.pass(0.5);
  expect(port2.taken()).toEqual([{ type: "identify", box: "?" }]); // nobody heard yet: nothing else
  // The box holds what was not acknowledged and sends it once more.
  start.seq = 3;
  port2.say(start.hello(2));
  port2.say({ ...start.event("C", 12), seq: 3 } as BoxMessage);
  start.seq = 3;
  expect(port2.taken("resend")).toEqual([{ type: "resend", box: "S1", boot: 18, seq: 2 }]);
  runClocks({ ...day, port: port2 }, [start, finish], 40);
  port2.say(finish.event());
  expect(again.session().runs).toMatchObject([{ status: "ok", rider: "R1" }]);
  expect(port2.taken("acknowledge")).toContainEqual({
    ...{ type: "acknowledge", box: "F1", boot: 7, seq: 1 },
  });
});

test("after the laptop slept, boxes are asked who they are and their clocks afresh", () => {
  const { laptop, file, port, recorder, start } = aDay();
  recorder.start();
  port.say(start.hello());
  laptop.pass(120);
  port.taken();
  laptop.clock.host = "laptop-1 after a sleep";
  laptop.pass(0.2);
  expect(port.taken()).toEqual([{ type: "identify", box: "?" }]);
  port.say(start.hello());
  laptop.pass(10.05);
  expect(port.taken("query").length).toBeGreaterThanOrEqual(9);
  port.say(start.event());
  expect(file.store.readSince(0).at(-1)?.host).toBe("laptop-1 after a sleep");
});

test("replaying the journal gives the live state, and the derived tables agree with it", () => {
  const day = aDay();
  const { laptop, file, port, recorder, start, finish } = day;
  recorder.start();
  const split = new TestBox(laptop, "P1", "P1", 77);
  port.say(start.hello(), finish.hello(), split.hello());
  const boxes = [start, split, finish];
  runClocks(day, boxes, 20);
  for (let run = 0; run < 4; run += 1) {
    port.say(start.event());
    runClocks(day, boxes, 25 + run);
    port.say(split.event());
    runClocks(day, boxes, 33);
    port.say(finish.event());
    port.text(":1E,broken*0000\n");
    runClocks(day, boxes, 5);
  }
  const live = file.session();
  expect(live.runs.map((run) => run.status)).toEqual(["ok", "ok", "ok", "ok"]);
  expect(live.runs[0]?.timeS).toBeCloseTo(58, 4);
  const replayed = sessionOf(extendFold(emptyFold(), file.store.readSince(0)));
  expect(replayed).toEqual(live);
  const board = laptop.open(file.store.file, true);
  expect(board.summary()).toEqual(file.summary());
  expect(verifyFile(board.store, board.summary())).toEqual([]);
});

test("kill -9 while events pour in: every acknowledged event is there, once, and it goes on", async () => {
  const laptop = new TestLaptop();
  const file = laptop.make().store.file;
  const box = new TestBox(laptop, "S1", "S");
  const events: BoxMessage[] = [];
  let acknowledged = 0;
  for (const killAfter of [5, 25]) {
    const child = spawn(
      process.execPath,
      ["--import", "tsx", fileURLToPath(import.meta.resolve("./record-pipe.ts")), file],
      { stdio: ["pipe", "pipe", "inherit"] },
    );
    let text = "";
    let acks = 0;
    child.stdin.on("error", () => undefined); // it is gone, and so is what was on its way to it
    child.stdout.setEncoding("latin1").on("data", (more: string) => {
      text += more;
      const lines = text.split("\n");
      text = lines.pop() ?? "";
      for (const line of lines) {
        if (line.startsWith(":1I")) {
          child.stdin.write(lineBytes(encodeBoxLine(box.hello(acknowledged + 1))));
          const unacknowledged = events.slice(acknowledged);
          for (const event of unacknowledged) child.stdin.write(lineBytes(encodeBoxLine(event)));
        }
        const seq = /^:1A,S1,0012,(\d+)\*/.exec(line)?.[1];
        if (seq === undefined) continue;
        acknowledged = Math.max(acknowledged, Number(seq));
        acks += 1;
        if (acks === killAfter) child.kill("SIGKILL");
        else {
          for (let i = 0; i < 3; i += 1) {
            const event = box.event();
            events.push(event);
            child.stdin.write(lineBytes(encodeBoxLine(event)));
          }
        }
      }
    });
    if (events.length === 0) events.push(box.event());
    await once(child, "exit");
    expect(child.signalCode).toBe("SIGKILL");
    expect(acknowledged).toBeGreaterThanOrEqual(killAfter);
    const reopened = laptop.open(file);
    const kept = eventsIn(reopened);
    expect(new Set(kept).size).toBe(kept.length);
    const numbers = new Set(kept);
    for (let seq = 1; seq <= acknowledged; seq += 1) {
      expect(numbers.has(`S1 18 ${String(seq)}`), String(seq)).toBe(true);
    }
    expect(verifyFile(reopened.store, reopened.summary())).toEqual([]);
    reopened.close();
  }
}, 60_000);
