import { EventEmitter } from "node:events";
import { afterEach, beforeEach, describe, expect, it, vi } from "vitest";
import type { Key } from "../../../src/tui/keys/key-stream.ts";
import { listenToKeys } from "../../../src/tui/keys/keyboard.ts";

class FakeInput extends EventEmitter {
  isFlowing = false;
  resume(): void {
    this.isFlowing = true;
  }
  pause(): void {
    this.isFlowing = false;
  }
}

describe("listenToKeys", () => {
  beforeEach(() => {
    vi.useFakeTimers();
  });
  afterEach(() => {
    vi.useRealTimers();
  });

  function listening() {
    const input = new FakeInput();
    const found: (readonly [Key, number])[] = [];
    let now = 0;
    const stop = listenToKeys(
      input,
      () => now,
      (key, atMs) => found.push([key, atMs]),
    );
    return {
      input,
      found,
      stop,
      read: (text: string, atMs: number) => {
        now = atMs;
        input.emit("data", new TextEncoder().encode(text));
      },
    };
  }

  it("stamps each key with the moment its bytes came", () => {
    const { found, read } = listening();
    read("sf", 1000);
    read(" ", 1500);
    expect(found.map(([, atMs]) => atMs)).toEqual([1000, 1000, 1500]);
  });

  it("reports a lone Esc after a short wait, stamped with the press", () => {
    const { found, read } = listening();
    read("\u001b", 10);
    vi.advanceTimersByTime(49);
    expect(found).toEqual([]);
    vi.advanceTimersByTime(1);
    expect(found).toEqual([[{ type: "named", name: "escape" }, 10]]);
  });

  it("takes an arrow cut in two for an arrow", () => {
    const { found, read } = listening();
    read("\u001b", 10);
    vi.advanceTimersByTime(30);
    read("[A", 40);
    vi.advanceTimersByTime(1000);
    expect(found).toEqual([[{ type: "named", name: "up" }, 40]]);
  });

  it("hears nothing after it was stopped", () => {
    const { input, found, read, stop } = listening();
    expect(input.isFlowing).toBe(true);
    read("\u001b", 1);
    stop();
    vi.advanceTimersByTime(1000);
    read("x", 2);
    expect(found).toEqual([]);
    expect(input.isFlowing).toBe(false);
  });
});
