// The thread's side: rides the blocks that it is handed; called by the program when it finds itself
// started as a thread.
import { parentPort, workerData } from "node:worker_threads";
import { type Block, BlockRider } from "./ride-block.ts";
import type { Trial } from "./trial.ts";

/** What a thread is started with. */
export interface ThreadData {
  readonly calibrates: Trial;
}

/**
 * Serves until the program ends this thread.
 *
 * @throws {TypeError} outside a thread that was started with a trial
 */
export function serveBlocks(): void {
  if (parentPort === null || !isThreadData(workerData)) {
    throw new TypeError("serveBlocks requires a thread started with a trial");
  }
  const port = parentPort;
  const rider = new BlockRider(workerData.calibrates);
  port.on("message", (block: Block) => {
    port.postMessage(rider.ride(block));
  });
}

function isThreadData(data: unknown): data is ThreadData {
  return typeof data === "object" && data !== null && "calibrates" in data;
}
