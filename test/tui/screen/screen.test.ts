import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { Screen } from "../../../src/tui/screen/screen.ts";
import { EmulatedTerminal } from "./emulator.ts";

const ESC = "\u001b";

function entered(columns: number, rows: number): { terminal: EmulatedTerminal; screen: Screen } {
  const terminal = new EmulatedTerminal(columns, rows);
  const screen = new Screen(terminal);
  screen.enter();
  return { terminal, screen };
}

describe("screen", () => {
  it("enters and leaves with the sequences that restore the terminal, once each", async () => {
    const terminal = new EmulatedTerminal(20, 3);
    terminal.write("before");
    const screen = new Screen(terminal);
    screen.enter();
    screen.enter();
    screen.write("inside");
    expect(await terminal.buffer()).toBe("alternate");
    screen.leave();
    screen.leave();
    screen.write("too late");
    expect(await terminal.buffer()).toBe("normal");
    expect((await terminal.text())[0]).toBe("before");
    expect(terminal.writes[1]).toBe(`${ESC}[?1049h${ESC}[?7l${ESC}[?25l${ESC}[2J`);
    expect(terminal.writes.at(-1)).toBe(`${ESC}[?2026l${ESC}[0m${ESC}[?7h${ESC}[?25h${ESC}[?1049l`);
    expect(terminal.writes).toHaveLength(4);
  });

  it("uses every row and column without scrolling", async () => {
    const { terminal, screen } = entered(10, 4);
    const frame = ["aaaaaaaaaa", "bbbbbbbbbb", "cccccccccc", "dddddddddd"];
    screen.write(frame.join("\n"));
    expect(await terminal.text()).toEqual(frame);
    expect(await terminal.scrolled()).toBe(0);
  });

  it("writes only the line that changed, in one write between synchronised-update marks", async () => {
    const { terminal, screen } = entered(100, 30);
    const lines = Array.from({ length: 30 }, (_, i) => `row ${String(i)}`);
    screen.write(lines.join("\n"));
    const before = terminal.writes.length;
    lines[29] = "on course: nobody";
    screen.write(lines.join("\n"));
    expect(terminal.writes.length).toBe(before + 1);
    const written = terminal.writes.at(-1) ?? "";
    expect(written.startsWith(`${ESC}[?2026h${ESC}[30;1Hon course`)).toBe(true);
    expect(written.endsWith(`${ESC}[?2026l`)).toBe(true);
    expect(written.length).toBeLessThan(140);
    expect((await terminal.text())[29]).toBe("on course: nobody");
  });

  it("writes nothing when nothing changed, nor for the empty writes that end a rendering", () => {
    const { terminal, screen } = entered(20, 4);
    screen.write("same");
    const before = terminal.writes.length;
    screen.write("same");
    screen.write("");
    screen.write("\n");
    expect(terminal.writes.length).toBe(before);
  });

  it("covers the whole line when a shorter one follows, without erasing", async () => {
    const { terminal, screen } = entered(12, 2);
    screen.write("a long line!\nx");
    screen.write("short\nx");
    expect(await terminal.text()).toEqual(["short", "x"]);
    expect(terminal.writes.at(-1)).not.toContain(`${ESC}[K`);
  });

  it("cuts rows and columns that the terminal has not", async () => {
    const { terminal, screen } = entered(5, 2);
    screen.write("123456789\n三三三\nthird");
    expect(await terminal.text()).toEqual(["12345", "三三"]);
  });

  it("leaves no remains after shrinking from 100x30 to 80x24, drawn anew or not", async () => {
    for (const redraws of [true, false]) {
      const { terminal, screen } = entered(100, 30);
      const full = (columns: number, rows: number, mark: string): string =>
        Array.from({ length: rows }, () => mark.repeat(columns)).join("\n");
      if (redraws) {
        screen.subscribeSize(() => {
          screen.write(full(screen.columns, screen.rows, "n"));
        });
      }
      screen.write(full(100, 30, "o"));
      terminal.resize(80, 24);
      const mark = redraws ? "n" : "o";
      expect(await terminal.text()).toEqual(Array.from({ length: 24 }, () => mark.repeat(80)));
      expect(terminal.writes.at(-1)?.split(`${ESC}[2J`)).toHaveLength(2);
    }
  });

  it("keeps one size object until the terminal is resized", () => {
    const { terminal, screen } = entered(80, 24);
    const size = screen.size();
    screen.relayout();
    expect(screen.size()).toBe(size);
    terminal.resize(100, 30);
    expect(screen.size()).toEqual({ columns: 100, rows: 30 });
    expect(screen.size()).toBe(screen.size());
  });

  it("draws only the newest frame once a slow terminal has caught up", async () => {
    const { terminal, screen } = entered(20, 2);
    screen.write("first");
    terminal.writableNeedDrain = true;
    const before = terminal.writes.length;
    for (let i = 0; i < 50; i++) screen.write(`frame ${String(i)}`);
    expect(terminal.writes.length).toBe(before);
    terminal.writableNeedDrain = false;
    terminal.emit("drain");
    expect(terminal.writes.length).toBe(before + 1);
    expect((await terminal.text())[0]).toBe("frame 49");
  });

  it("draws the last frame again on coming back", async () => {
    const { terminal, screen } = entered(20, 2);
    screen.write("still here");
    screen.leave();
    screen.enter();
    expect((await terminal.text())[0]).toBe("still here");
  });

  it("lets no control sequence of a frame but colours through", async () => {
    const { terminal, screen } = entered(40, 3);
    screen.write(
      `a${ESC}[2Jb${ESC}]0;title\u0007c${ESC}[10;10Hd\u0007e${ESC}[31mred${ESC}[39m\tf\u009b5n`,
    );
    expect((await terminal.text())[0]).toBe("abcderedf5n");
    const written = terminal.writes.at(-1) ?? "";
    expect(written).not.toContain("title");
    expect(written).not.toContain("\u0007");
    expect(written).toContain(`${ESC}[31m`);
  });

  it("paints every cell in the ground colours, after colours end too", async () => {
    const terminal = new EmulatedTerminal(10, 2);
    const foreground = `${ESC}[38;2;0;0;0m`;
    const background = `${ESC}[48;2;255;255;255m`;
    const screen = new Screen(terminal, { open: foreground + background, foreground, background });
    screen.enter();
    screen.write(`${ESC}[38;2;0;114;178mB${ESC}[39m is`);
    expect(await terminal.colours(0, 0)).toEqual([0x0072b2, 0xffffff]);
    expect(await terminal.colours(0, 2)).toEqual([0, 0xffffff]);
    expect(await terminal.colours(0, 9)).toEqual([0, 0xffffff]);
    expect(await terminal.colours(1, 9)).toEqual([0, 0xffffff]);
  });

  it("shows any sequence of frames as if each had been drawn on a clean screen", async () => {
    const line = fc.string({ unit: fc.constantFrom("a", "b", " ", "●", "三", "é"), maxLength: 14 });
    const frames = fc.array(fc.array(line, { minLength: 1, maxLength: 5 }), {
      minLength: 1,
      maxLength: 6,
    });
    await fc.assert(
      fc.asyncProperty(frames, async (sequence) => {
        const { terminal, screen } = entered(9, 4);
        for (const frame of sequence) screen.write(frame.join("\n"));
        const last = sequence.at(-1)?.join("\n") ?? "";
        if (last === "" || last === "\n") return; // what Ink ends with, and no frame
        const clean = entered(9, 4);
        clean.screen.write(last);
        expect(await terminal.text()).toEqual(await clean.terminal.text());
      }),
      { seed: 20260509, numRuns: 200 },
    );
  });
});
