// Run as a process of its own and killed: a recorder whose port is standard input and output.
import type { ByteSource, ByteSourceEvents } from "../../src/app/needs.ts";
import { Recorder } from "../../src/app/recorder.ts";
import { SessionFile } from "../../src/app/session-file.ts";
import { laptopClock, laptopTimers } from "../../src/cli/laptop-time.ts";
import { SessionStore } from "../../src/store/session-store.ts";

const [name = ""] = process.argv.slice(2);
const clock = laptopClock();
const pipe: ByteSource = {
  name: "pipe",
  open(on: ByteSourceEvents): void {
    process.stdin.on("data", (bytes: Buffer) => {
      on.bytes(bytes, clock.monoUs());
    });
    on.opened();
  },
  write(bytes: Uint8Array): void {
    process.stdout.write(bytes);
  },
  close: () => Promise.resolve(),
};
new Recorder({
  file: new SessionFile(SessionStore.open(name, { readOnly: false }), clock),
  sources: [pipe],
  clock,
  scheduler: laptopTimers,
  pid: process.pid,
  notice: (text) => process.stderr.write(`${text}\n`),
}).start();
