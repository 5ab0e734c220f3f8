// Shares the blocks out among threads and adds up what they bring; called by the command line.
import { Worker } from "node:worker_threads";
import { blocksOf } from "./blocks.ts";
import { forecastRuns } from "./ride-block.ts";
import type { ThreadData } from "./serve-blocks.ts";
import { sumOf, type Tally } from "./tally.ts";
import type { Trial } from "./trial.ts";

export interface Threads {
  /** A module that calls `serveBlocks` when it is started as a thread. */
  readonly entry: URL;
  readonly count: number;
}

export interface Wanted {
  readonly trial: Trial;
  /** Of each cell. */
  readonly days: number;
  readonly seed: number;
  /** Ends it early with what there is. */
  readonly stop: AbortSignal;
  /** Days ridden and wanted, all cells together. */
  readonly onProgress: (ridden: number, all: number) => void;
}

/** Blocks that a thread has in hand, so that it never waits for the next. */
const IN_HAND = 2;

/**
 * Rides all days.
 *
 * @returns a tally for each of `cellsOf`: of all days, or, stopped early, of the rounds that every
 *   cell has finished (none then, perhaps); the same whatever the number of threads
 */
export async function rideInThreads(wanted: Wanted, threads: Threads): Promise<readonly Tally[]> {
  const { trial, days, seed, stop } = wanted;
  const rounds = blocksOf(trial, days, seed);
  const blocks = rounds.flat();
  const all = blocks.reduce((sum, block) => sum + block.days, 0);
  const done = new Array<Tally | undefined>(blocks.length).fill(undefined);
  const workers = Array.from({ length: Math.min(threads.count, blocks.length) }, () =>
    threadOf(threads.entry, { calibrates: trial }),
  );
  try {
    await new Promise<void>((resolve, reject) => {
      let next = 0;
      let left = blocks.length;
      let ridden = 0;
      if (stop.aborted || left === 0) resolve();
      stop.addEventListener("abort", () => {
        resolve();
      });
      for (const worker of workers) {
        const inHand: number[] = [];
        const handOut = (): void => {
          if (next >= blocks.length) return;
          inHand.push(next);
          worker.postMessage(blocks[next]);
          next += 1;
        };
        worker.on("error", reject);
        worker.on("message", (tally: Tally) => {
          const index = inHand.shift();
          if (index === undefined) throw new RangeError("a thread brings what it was handed");
          done[index] = tally;
          ridden += tally.days;
          left -= 1;
          wanted.onProgress(ridden, all);
          if (left === 0) resolve();
          else handOut();
        });
        for (let i = 0; i < IN_HAND; i += 1) handOut();
      }
    });
  } finally {
    await Promise.all(workers.map((worker) => worker.terminate()));
  }
  const cells = rounds[0]?.length ?? 0;
  return sumsOfCells(done, cells, forecastRuns(trial));
}

/** Starts a thread: with the built program itself, or with a source, which Node 20 cannot read alone. */
function threadOf(entry: URL, workerData: ThreadData): Worker {
  if (!/\.tsx?$/.test(entry.pathname)) return new Worker(entry, { workerData });
  // `tsx` reads sources only where it is registered, and a new thread starts without it.
  const code = `import("tsx/esm/api").then(({ register }) => {
    register();
    return import(${JSON.stringify(entry.href)});
  });`;
  return new Worker(code, { eval: true, workerData });
}

/** Adds up in the blocks' own order, only rounds that are complete from the first on. */
function sumsOfCells(
  done: readonly (Tally | undefined)[],
  cells: number,
  runs: readonly number[],
): readonly Tally[] {
  const missing = done.indexOf(undefined);
  const complete = missing < 0 ? done.length : missing - (missing % cells);
  if (complete === 0) return [];
  return Array.from({ length: cells }, (_, c) => {
    const own = done.filter((tally, i) => tally !== undefined && i < complete && i % cells === c);
    return sumOf(
      own.filter((tally) => tally !== undefined),
      runs,
    );
  });
}
