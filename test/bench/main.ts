// `npm run bench [-- --json]`: measures what a user waits for, each figure beside a yardstick from the
// same run. Nothing here is asserted in a test: the figures are a machine's, the ratios ours.
import { calibrateFigures } from "./calibrate.ts";
import { clockFigures } from "./clock.ts";
import { compareFigures } from "./compare.ts";
import { decodeFigures } from "./decode.ts";
import { type Figure, tableOf } from "./figure.ts";
import { ingestFigures } from "./ingest.ts";
import { replayFigures } from "./replay.ts";
import { screenFigures } from "./screen.ts";
import { startFigures } from "./start.ts";

const BENCHES: readonly (readonly [string, () => Promise<readonly Figure[]>])[] = [
  ["decode", decodeFigures],
  ["ingest", ingestFigures],
  ["journal", replayFigures],
  ["compare", compareFigures],
  ["calibrate", calibrateFigures],
  ["clock", clockFigures],
  ["start", startFigures],
  ["screen", screenFigures],
];

const words = process.argv.slice(2);
const isJson = words.includes("--json");
const chosen = words.filter((word) => !word.startsWith("--"));
const figures: Figure[] = [];
for (const [name, bench] of BENCHES) {
  if (chosen.length > 0 && !chosen.includes(name)) continue;
  const began = performance.now();
  figures.push(...(await bench()));
  process.stderr.write(`${name}: ${((performance.now() - began) / 1000).toFixed(1)} s\n`);
}
process.stdout.write(isJson ? `${JSON.stringify(figures, null, 2)}\n` : `${tableOf(figures)}\n`);
