// The serial source on real pseudo-terminals: opened, heard, pulled, put back, refused.
import { spawnSync } from "node:child_process";
import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, it } from "vitest";
import { listPorts, portsInFolder } from "../../src/source/list-ports.ts";
import { openTrouble } from "../../src/source/port-words.ts";
import { SerialSource } from "../../src/source/serial-port.ts";
import { PtyCable, until } from "./pty-cable.ts";

let folder: string;
let cleanUp: (() => Promise<void>)[] = [];

beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), "serial-"));
});

afterEach(async () => {
  for (const end of cleanUp) await end();
  cleanUp = [];
  rmSync(folder, { recursive: true });
});

function cableAt(path: string): PtyCable {
  const cable = new PtyCable(path);
  cleanUp.push(() => cable.end());
  return cable;
}

/** Opens a source and writes down what it tells. */
function listen(path: string, other: { readonly baud: number } | null = null) {
  const source = new SerialSource(path, other);
  const heard = { text: "", stamps: [] as number[], opened: 0, lost: [] as string[] };
  source.open({
    bytes: (bytes, at) => {
      heard.text += Buffer.from(bytes).toString();
      heard.stamps.push(at);
    },
    opened: () => {
      heard.opened += 1;
    },
    lost: (reason, hint) => {
      heard.lost.push(`${reason}: ${hint}`);
    },
  });
  cleanUp.unshift(() => source.close());
  return { source, heard };
}

const nowUs = () => Number(process.hrtime.bigint() / 1000n);

describe("SerialSource", () => {
  it("carries bytes both ways and stamps them on the monotonic clock", async () => {
    const path = join(folder, "port");
    const cable = cableAt(path);
    await cable.plug();
    const { source, heard } = listen(path);
    await until("opened", () => heard.opened === 1);
    const before = nowUs();
    await cable.send("from the box\n");
    await until("bytes", () => heard.text === "from the box\n");
    for (const at of heard.stamps) {
      expect(at).toBeGreaterThanOrEqual(before);
      expect(at).toBeLessThanOrEqual(nowUs());
      expect(Number.isInteger(at)).toBe(true);
    }
    source.write(Buffer.from(":1I,?*D996\n"));
    await until("written", () => cable.received === ":1I,?*D996\n");
    expect(heard.lost).toEqual([]);
  });

  it("says once that the cable is out, and goes on when it is back at the same name", async () => {
    const path = join(folder, "port");
    const cable = cableAt(path);
    await cable.plug();
    const { source, heard } = listen(path);
    await until("opened", () => heard.opened === 1);
    await cable.send("half a li");
    await until("bytes", () => heard.text === "half a li");
    await cable.unplug();
    await until("lost", () => heard.lost.length >= 2);
    source.write(Buffer.from("into nothing\n"));
    expect(heard.lost).toEqual([
      `box lost on ${path}: events wait in the box; put the cable back in and they come`,
      expect.stringMatching(/port is not there: is the cable in\? /),
    ]);
    await cable.plug();
    await until("opened again", () => heard.opened === 2);
    await cable.send("again\n");
    await until("bytes again", () => heard.text === "half a liagain\n");
    source.write(Buffer.from("hello\n"));
    await until("written", () => cable.received === "hello\n");
    expect(heard.lost.length).toBe(2);
    await cable.unplug();
    await until("lost again", () => heard.lost.length === 4);
  });

  it("waits for a port that is not there yet", async () => {
    const path = join(folder, "later");
    const cable = cableAt(path);
    const { heard } = listen(path);
    await until("lost", () => heard.lost.length === 1);
    expect(heard.lost[0]).toContain(`${path} is not there: is the cable in? `);
    await cable.plug();
    await until("opened", () => heard.opened === 1);
  });

  it("says that a file or a folder is no serial port", async () => {
    const file = join(folder, "file");
    writeFileSync(file, "not a port");
    const dir = join(folder, "dir");
    mkdirSync(dir);
    for (const path of [file, dir]) {
      // Whatever the speed: the system words it otherwise for one that is not a usual one.
      for (const other of [null, { baud: 9600 }, { baud: 12_345 }]) {
        const { heard } = listen(path, other);
        await until("lost", () => heard.lost.length === 1);
        expect(heard.lost).toEqual([`${path} is not a serial port: see swaplap ports`]);
      }
    }
  });

  it("says that a port is in use, and takes it when it is free", async () => {
    const path = join(folder, "port");
    const cable = cableAt(path);
    await cable.plug();
    const first = listen(path);
    await until("opened", () => first.heard.opened === 1);
    const second = listen(path);
    await until("refused", () => second.heard.lost.length === 1);
    expect(second.heard.lost).toEqual([`${path} is in use by another program: close that one`]);
    await first.source.close();
    await until("opened", () => second.heard.opened === 1);
  });

  it("drops what a stuck reader does not take, and goes on when it reads again", async () => {
    const path = join(folder, "port");
    const cable = cableAt(path);
    await cable.plug();
    const { source, heard } = listen(path);
    await until("opened", () => heard.opened === 1);
    await cable.hold();
    const line = `${"x".repeat(79)}\n`;
    for (let i = 0; i < 2000; i += 1) {
      source.write(Buffer.from(line));
      if (i % 100 === 0) await cable.send(".");
    }
    expect(cable.received).toBe("");
    await cable.free();
    // The serial library may wake a stuck write only when something comes in, as heartbeats do.
    for (let i = 0; i < 500 && !cable.received.includes("later\n"); i += 1) {
      source.write(Buffer.from("later\n"));
      await cable.send(".");
    }
    expect(cable.received).toContain("later\n");
    // Whole lines only: none of them is cut by what was dropped.
    const whole = cable.received.slice(0, cable.received.lastIndexOf("\n")).split("\n");
    expect(new Set(whole)).toEqual(new Set(["x".repeat(79), "later"]));
    // What the system takes without a reader, and 4 kB of ours: far below the 160 kB written.
    expect(cable.received.length).toBeLessThan(40_000);
    expect(heard.lost).toEqual([]);
  });

  it("closes while the reader is stuck", async () => {
    const path = join(folder, "port");
    const cable = cableAt(path);
    await cable.plug();
    const { source, heard } = listen(path);
    await until("opened", () => heard.opened === 1);
    await cable.hold();
    for (let i = 0; i < 2000; i += 1) {
      source.write(Buffer.from(`${"x".repeat(79)}\n`));
      if (i % 100 === 0) await cable.send(".");
    }
    await source.close();
    const next = listen(path);
    await until("opened by the next one", () => next.heard.opened === 1);
  });

  it("tells nothing once it is closed, also while it was opening or waiting", async () => {
    const path = join(folder, "port");
    const cable = cableAt(path);
    await cable.plug();
    const opening = listen(path);
    await opening.source.close();
    const waiting = listen(join(folder, "nowhere"));
    await until("lost", () => waiting.heard.lost.length === 1);
    await waiting.source.close();
    const open = listen(path);
    await until("opened", () => open.heard.opened === 1);
    expect(opening.heard.opened).toBe(0);
    await open.source.close();
    await open.source.close();
    await cable.send("unheard\n");
    expect(open.heard).toMatchObject({ text: "", lost: [] });
  });
});

describe("another receiver's port", () => {
  it("is opened at its speed; out of reach, nothing waits in it", async () => {
    const path = join(folder, "port");
    const cable = cableAt(path);
    await cable.plug();
    const { heard } = listen(path, { baud: 4800 });
    await until("opened", () => heard.opened === 1);
    const { stdout } = spawnSync("stty", ["-F", path, "speed"], { encoding: "utf8" });
    expect(stdout).toBe("4800\n");
    await cable.send("1 12.5\r\n");
    await until("bytes", () => heard.text === "1 12.5\r\n");
    await cable.unplug();
    await until("lost", () => heard.lost.length >= 1);
    expect(heard.lost[0]).toBe(
      `receiver lost on ${path}: what passes now is not heard: put the cable back in, or key the times`,
    );
  });
});

describe("openTrouble", () => {
  const around = { portsHere: ["/dev/ttyUSB0", "/dev/ttyUSB1"], group: "dialout" };
  const words = (text: string, more = around as Parameters<typeof openTrouble>[2]) => {
    const { reason, hint } = openTrouble("/dev/x", text, more);
    return `${reason}: ${hint}`;
  };

  it.each([
    [
      "Error: No such file or directory, cannot open /dev/x",
      "/dev/x is not there: is the cable in? ports here: /dev/ttyUSB0, /dev/ttyUSB1",
    ],
    [
      "Error: Permission denied, cannot open /dev/x",
      "you may not open /dev/x: it belongs to group dialout: add yourself to it (usermod -aG dialout you) and log in again",
    ],
    [
      "Error Resource temporarily unavailable Cannot lock port",
      "/dev/x is in use by another program: close that one",
    ],
    [
      "Error: Inappropriate ioctl for device setting custom baud rate of 115200",
      "/dev/x is not a serial port: see swaplap ports",
    ],
    ["Error: Is a directory, cannot open /dev/x", "/dev/x is not a serial port: see swaplap ports"],
    ["Error: odd", "/dev/x cannot be opened (Error: odd): see swaplap ports"],
  ])("%s", (text, said) => {
    expect(words(text)).toBe(said);
  });

  it("does without ports and group where there are none", () => {
    const none = { portsHere: [], group: null };
    expect(words("Error: No such file or directory", none)).toMatch(/no port is here/);
    expect(words("Error: Permission denied", none)).toMatch(/ask who owns it/);
  });
});

describe("ports of this laptop", () => {
  it("lists adapters by the name that stays the same, those with such a name first", () => {
    for (const name of ["ttyUSB0", "ttyUSB1", "ttyACM0", "ttyS0", "tty1", "null"]) {
      writeFileSync(join(folder, name), "");
    }
    mkdirSync(join(folder, "serial", "by-id"), { recursive: true });
    symlinkSync("../../ttyUSB1", join(folder, "serial", "by-id", "usb-Adapter_1"));
    expect(portsInFolder(folder)).toEqual([
      {
        path: join(folder, "serial", "by-id", "usb-Adapter_1"),
        device: join(folder, "ttyUSB1"),
        maker: null,
      },
      { path: join(folder, "ttyACM0"), device: join(folder, "ttyACM0"), maker: null },
      { path: join(folder, "ttyUSB0"), device: join(folder, "ttyUSB0"), maker: null },
    ]);
    expect(portsInFolder(join(folder, "none"))).toEqual([]);
  });

  it("can be asked for with or without udev on the laptop", async () => {
    const ports = await listPorts();
    expect(ports.map((p) => p.device)).toEqual(
      expect.arrayContaining(portsInFolder().map((p) => p.device)),
    );
  });
});
