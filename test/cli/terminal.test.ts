// When a screen is drawn, and when sentences are printed instead.
import { afterEach, expect, test, vi } from "vitest";
import { hasScreen } from "../../src/cli/terminal.ts";

const DARK = { theme: "dark" } as const;

afterEach(() => {
  vi.unstubAllEnvs();
});

function onTerminal(isTTY: boolean, check: () => void): void {
  const streams = [process.stdin, process.stdout];
  const before = streams.map((stream) => Object.getOwnPropertyDescriptor(stream, "isTTY"));
  for (const stream of streams) {
    Object.defineProperty(stream, "isTTY", { value: isTTY, configurable: true });
  }
  try {
    check();
  } finally {
    streams.forEach((stream, i) => {
      Reflect.deleteProperty(stream, "isTTY");
      const was = before[i];
      if (was !== undefined) Object.defineProperty(stream, "isTTY", was);
    });
  }
}

test("a screen needs a terminal that can move its cursor, and nobody who asked for sentences", () => {
  vi.stubEnv("TERM", "xterm-256color");
  onTerminal(true, () => {
    expect(hasScreen(DARK)).toBe(true);
    expect(hasScreen({ ...DARK, plain: true })).toBe(false);
    vi.stubEnv("TERM", "dumb");
    expect(hasScreen(DARK)).toBe(false);
  });
  vi.stubEnv("TERM", "xterm-256color");
  onTerminal(false, () => {
    expect(hasScreen(DARK)).toBe(false);
  });
});
