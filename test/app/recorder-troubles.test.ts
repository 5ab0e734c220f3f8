// The recorder when things go wrong around it: a full disk, a lease lost in a sleep, loose plugs, two
// boxes with one id, a session that was closed.
import type Database from "better-sqlite3";
import { expect, test } from "vitest";
import { closeSession, markConditions, reopenSession } from "../../src/app/day-commands.ts";
import type { Scheduler } from "../../src/app/needs.ts";
import { Recorder } from "../../src/app/recorder.ts";
import { hostUs } from "../../src/domain/time.ts";
import { ofType, operator, TestBox, TestLaptop, TestPort } from "./a-day.ts";

function aDay() {
  const laptop = new TestLaptop();
  const file = laptop.make();
  const port = new TestPort(laptop);
  const recorder = laptop.recorder(file, [port]);
  const box = new TestBox(laptop, "S1", "S", 1000, 18);
  return { laptop, file, port, recorder, box };
}

/** No page more than there are now, or as many as anybody likes. */
function setFull({ file }: ReturnType<typeof aDay>, isFull: boolean): void {
  const { db } = file.store as unknown as { db: Database.Database };
  db.pragma(`max_page_count = ${isFull ? "1" : "100000"}`);
}

/** Fills what is left in the pages that there are with rows smaller than any other. */
function fillUp({ file }: ReturnType<typeof aDay>): void {
  for (let i = 0; i < 500; i += 1) {
    try {
      file.append(operator, () => markConditions("", false));
    } catch (error) {
      expect(error).toMatchObject({ code: "disk-full" });
      return;
    }
  }
  throw new RangeError("the disk did not fill up");
}

test("what happened to a port while the disk was full is written as soon as there is room", () => {
  const day = aDay();
  const { laptop, file, port, recorder, box } = day;
  recorder.start();
  port.say(box.hello());
  setFull(day, true);
  for (let i = 0; i < 500 && laptop.notices.length === 0; i += 1) port.say(box.event());
  expect(laptop.notices[0]).toMatch(/^the disk is full/);
  fillUp(day);
  laptop.pass(10);
  port.lose();
  laptop.pass(1);
  const openedAt = laptop.time.now();
  port.reopen();
  laptop.pass(10);
  expect(ofType(file, "port-lost")).toEqual([]);
  setFull(day, false);
  laptop.pass(1);
  expect(ofType(file, "port-lost")).toHaveLength(1);
  expect(ofType(file, "port-opened").at(-1)?.monoUs).toBe(openedAt);
  expect(file.session().ports).toMatchObject([{ isOpen: true }]);
});

test("the disk full again later is said again", () => {
  const day = aDay();
  const { laptop, port, recorder, box } = day;
  recorder.start();
  port.say(box.hello());
  for (let time = 1; time <= 2; time += 1) {
    setFull(day, true);
    const said = () => laptop.notices.filter((text) => text.startsWith("the disk is full")).length;
    for (let i = 0; i < 500 && said() < time; i += 1) port.say(box.event());
    expect(said()).toBe(time);
    setFull(day, false);
    port.say(box.event());
    expect(laptop.notices.at(-1)).toMatch(/can be written again$/);
  }
});

test("a recorder that was taken over leaves the other one's ports open in the session", async () => {
  const { laptop, file, port, recorder } = aDay();
  recorder.start();
  // Asleep for a minute, on a disk that another laptop has as well; timers have not run.
  const anchorUs = laptop.clock.atUs() - laptop.time.now();
  const atUs = (): number => laptop.time.now() + anchorUs + 60e6;
  laptop.clock.atUs = atUs;
  const other = new TestLaptop("laptop-2");
  other.clock.atUs = atUs;
  const otherPort = new TestPort(other, "/dev/ttyOTHER");
  const otherRecorder = other.recorder(other.open(file.store.file), [otherPort], 4);
  otherRecorder.start();
  const box = new TestBox(laptop, "S1", "S");
  port.taken();
  // The first thing after waking is a line of a box: it is the other one's now.
  port.say(box.hello(), box.event());
  expect(recorder.isRecording).toBe(false);
  expect(port.isClosed).toBe(true);
  expect(port.taken()).toEqual([]);
  await new Promise(setImmediate); // its ports are closed by then
  file.refresh();
  expect(ofType(file, "line-received")).toEqual([]);
  expect(ofType(file, "recorder-stopped")).toEqual([]);
  expect(file.session().ports).toMatchObject([{ port: "/dev/ttyOTHER", isOpen: true }]);
  other.pass(1);
  expect(otherRecorder.isRecording).toBe(true);
});

test("a clock that is set by hours in the middle of a day does not end the recording", () => {
  const { laptop, file, port, recorder, box } = aDay();
  recorder.start();
  const anchorUs = laptop.clock.atUs() - laptop.time.now();
  for (const byS of [7200, -7200, 0]) {
    laptop.clock.atUs = () => laptop.time.now() + anchorUs + byS * 1e6;
    port.say(box.hello(1), box.event());
    laptop.pass(2);
  }
  expect(recorder.isRecording).toBe(true);
  expect(file.session().passings).toHaveLength(3);
  expect(port.taken("acknowledge")).toHaveLength(3);
});

test("a clock question carries the instant at which it leaves", () => {
  const laptop = new TestLaptop();
  const file = laptop.make();
  const ports = ["cable", "radio"].map((name) => new TestPort(laptop, name));
  let readings = 0;
  // A clock that a reading takes a while on: the newest reading is the nearest to the truth.
  const clock = {
    ...laptop.clock,
    monoUs: () => {
      readings += 1;
      return hostUs(laptop.time.now() + readings);
    },
  };
  const recorder = new Recorder({
    ...{ file, sources: ports, clock, scheduler: laptop.time, pid: process.pid },
    notice: () => undefined,
  });
  recorder.start();
  const late: number[] = [];
  ports.forEach((port, i) => {
    port.onSent = (message) => {
      if (message.type === "query") late.push(laptop.time.now() + readings - message.t1Us);
    };
    port.say(new TestBox(laptop, i === 0 ? "S1" : "F1", i === 0 ? "S" : "F").hello());
  });
  laptop.pass(3);
  expect(late.length).toBeGreaterThan(3);
  expect(late.every((readingsLate) => readingsLate === 0)).toBe(true);
});

test("answers of two boxes with one id are not taken for one clock", () => {
  const { laptop, file, port, recorder, box } = aDay();
  recorder.start();
  port.say(box.hello(), box.event());
  box.seq = 0;
  laptop.pass(0.5);
  const ask = port.taken("query")[0];
  if (ask === undefined) throw new TypeError("no question");
  port.say(box.answer(ask));
  expect(ofType(file, "clock-exchanged")).toHaveLength(1);
  port.say(box.event()); // the same number, another instant
  laptop.pass(1);
  for (const question of port.taken("query")) port.say(box.answer(question));
  expect(ofType(file, "clock-exchanged")).toHaveLength(1);
});

test("after the session was closed everything is still kept and acknowledged, and it is said once", () => {
  const { laptop, file, port, recorder } = aDay();
  const box = new TestBox(laptop, "F1", "F");
  recorder.start();
  port.say(box.hello());
  file.append(operator, closeSession);
  port.taken();
  const said = () => laptop.notices.filter((text) => text.startsWith("the session is closed"));
  port.say(box.event());
  laptop.pass(100);
  port.say(box.event());
  expect(port.taken("acknowledge")).toHaveLength(2);
  expect(file.session().passings).toHaveLength(2);
  expect(said()).toHaveLength(1);
  file.append(operator, reopenSession);
  port.say(box.event());
  file.append(operator, closeSession);
  port.say(box.event());
  expect(said()).toHaveLength(2);
});

test("a plug that comes and goes all day leaves no timers behind", async () => {
  const { laptop, file, port } = aDay();
  let running = 0;
  const counted = (stop: () => void): (() => void) => {
    running += 1;
    let isRunning = true;
    return () => {
      if (isRunning) running -= 1;
      isRunning = false;
      stop();
    };
  };
  const scheduler: Scheduler = {
    every: (ms, job) => counted(laptop.time.every(ms, job)),
    after: (ms, job) => counted(laptop.time.after(ms, job)),
  };
  const recorder = new Recorder({
    ...{ file, sources: [port], clock: laptop.clock, scheduler, pid: process.pid },
    notice: () => undefined,
  });
  recorder.start();
  const atStart = running;
  for (let i = 0; i < 50; i += 1) {
    port.lose();
    port.reopen();
  }
  expect(running).toBe(atStart);
  await recorder.stop("test");
  expect(running).toBe(0);
  const rows = file.store.readSince(0).length;
  port.taken();
  laptop.pass(20);
  await recorder.stop("again");
  expect(port.taken()).toEqual([]);
  expect(file.store.readSince(0)).toHaveLength(rows);
});

test("a start that fails gives the lease back", () => {
  const day = aDay();
  const { file, laptop, recorder } = day;
  setFull(day, true);
  // Down to the last gap that a row fits into; the lease's row finds room where the last one was.
  for (const length of [1900, 100, 1]) {
    const body = { run: null, note: "x".repeat(length) };
    const append = () => file.append(operator, () => [{ type: "note-added", body }]);
    expect(() => {
      for (let i = 0; i < 500; i += 1) append();
    }).toThrow(expect.objectContaining({ code: "disk-full" }));
  }
  expect(() => {
    recorder.start();
  }).toThrow(expect.objectContaining({ code: "disk-full" }));
  expect(file.store.leaseHolder(laptop.clock.atUs())).toBeNull();
  setFull(day, false);
  recorder.start();
  expect(recorder.isRecording).toBe(true);
});

test("a recorder that never started has nothing to say in the file when it is stopped", async () => {
  const { file, recorder } = aDay();
  const rows = file.store.readSince(0).length;
  await recorder.stop("test");
  expect(file.store.readSince(0)).toHaveLength(rows);
});
