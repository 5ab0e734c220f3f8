// How well a run is timed by the real program of two boxes over a bad radio, through recorder and
// session file: `npm run clock-chain [SEED...]`. Takes some minutes a seed: after the last finish the
// clocks are asked for long enough that nothing is provisional any more.
import { rmSync } from "node:fs";
import { join } from "node:path";
import { runChain, type Scatter, scatterOf } from "../hardware/chain.ts";
import { buildBoxes, isSkipped } from "../hardware/tools.ts";
import { inBenchFolder } from "./bench-folder.ts";

const HEAD = "seed     runs  exchanges        mean ms  sd ms  worst ms  worst in u  median u ms";

function line(name: string, scatter: Scatter): string {
  const numbers = [
    scatter.meanMs,
    scatter.sdMs,
    scatter.worstMs,
    scatter.worstInU,
    scatter.medianUMs,
  ];
  return `${name.padEnd(32)}${numbers.map((n) => n.toFixed(2).padStart(8)).join("  ")}`;
}

async function measure(seed: number): Promise<void> {
  await inBenchFolder(async (folder) => {
    const file = join(folder, `chain-${String(seed)}.swaplap`);
    const begun = performance.now();
    const { runs, exchanges, livedS } = await runChain({
      ...{ file, seed, runs: 12, warmUpS: 70, everyS: 20, runS: 14 },
      outageS: [110, 150],
      afterS: 320,
    });
    rmSync(file);
    const took = ((performance.now() - begun) / 1000).toFixed(0);
    const provisional = runs.filter(({ last }) => last.provisional).length;
    const head = `${String(seed).padEnd(9)}${String(runs.length).padEnd(6)}${String(exchanges).padEnd(11)}`;
    const lines = [
      line(`${head}live`, scatterOf(runs, "live")),
      line(`${" ".repeat(26)}final`, scatterOf(runs, "last")),
      `${" ".repeat(26)}${String(provisional)} provisional; ${livedS.toFixed(0)} s in ${took} s`,
    ];
    process.stdout.write(`${lines.join("\n")}\n`);
  });
}

if (isSkipped) throw new Error("needs make, gcc, avr-gcc and libsimavr-dev");
buildBoxes();
process.stdout.write(`${HEAD}\n`);
const seeds = process.argv.slice(2).map(Number);
for (const seed of seeds.length > 0 ? seeds : [1]) await measure(seed);
