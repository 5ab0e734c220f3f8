// Draws the console a thousand times and prints what is left behind; run by memory.test.ts as a program.
import { performance } from "node:perf_hooks";
import { aDay, heard } from "../a-day.ts";
import { aConsole, mounted } from "./a-console.tsx";

const under = aConsole({ journal: heard(aDay({ runs: 3, isByHand: true }), 1500), nowS: 1500 });
const shown = mounted(under, 80, 24);
const startedMs = performance.now();
for (let i = 1; i <= 1000; i++) {
  under.setNow(1500 + i);
  await new Promise(setImmediate); // React draws once the caller is done
}
const frameMs = (performance.now() - startedMs) / 1000;
const text = await shown.terminal.text();
shown.end();
process.stdout.write(
  JSON.stringify({
    measures: performance.getEntriesByType("measure").length,
    frames: shown.terminal.writes.length,
    clock: text[0],
    frameMs,
  }),
);
