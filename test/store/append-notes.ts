// Run as a process of its own and killed: appends notes without end, saying each seq once it is on disk.
import { writeSync } from "node:fs";
import { hostUs } from "../../src/domain/time.ts";
import { SessionStore } from "../../src/store/session-store.ts";

const [file = ""] = process.argv.slice(2);
const store = SessionStore.open(file, { readOnly: false });
const stamp = { atUs: 1, monoUs: hostUs(1), host: "laptop-1", writer: "test", who: "test" };
for (;;) {
  const seqs = store.transaction(() =>
    // Two rows a transaction, so that half a transaction would show.
    store.insert([
      { type: "note-added", body: { run: null, note: "first" }, ...stamp },
      { type: "note-added", body: { run: null, note: "x".repeat(1500) }, ...stamp },
    ]),
  );
  writeSync(1, `${seqs.join(" ")}\n`);
}
