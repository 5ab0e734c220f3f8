// Listens to the terminal's keyboard and reports keys with the moment they came; used by the cli.
import { createKeyStream, type Key } from "./key-stream.ts";

/** What is needed of the input stream; `process.stdin` fits. It must not decode to strings. */
export interface KeyInput {
  on(event: "data", listener: (bytes: Uint8Array) => void): unknown;
  off(event: "data", listener: (bytes: Uint8Array) => void): unknown;
  resume(): unknown;
  pause(): unknown;
}

/**
 * Reports each key once, in order.
 *
 * @param nowMs - monotonic clock, ms; read as soon as the bytes arrive
 * @param onKey - atMs is the arrival of the bytes, before anything was worked out
 * @returns ends the listening
 */
export function listenToKeys(
  input: KeyInput,
  nowMs: () => number,
  onKey: (key: Key, atMs: number) => void,
): () => void {
  const stream = createKeyStream();
  let timer: NodeJS.Timeout | undefined;

  const onBytes = (bytes: Uint8Array): void => {
    const atMs = nowMs();
    clearTimeout(timer);
    const keys = stream.push(bytes);
    const waitMs = stream.flushAfterMs();
    if (waitMs !== undefined) {
      timer = setTimeout(() => {
        for (const key of stream.flush()) onKey(key, atMs);
      }, waitMs);
    }
    for (const key of keys) onKey(key, atMs);
  };
  input.on("data", onBytes);
  input.resume();

  return () => {
    clearTimeout(timer);
    input.off("data", onBytes);
    input.pause();
  };
}
