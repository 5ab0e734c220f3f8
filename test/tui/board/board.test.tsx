// The rider's board in a true terminal emulator: what it says, what it hides, how it looks.
import { render } from "ink";
import { describe, expect, it } from "vitest";
import { bigLetter } from "../../../src/tui/board/big-letters.ts";
import { Board } from "../../../src/tui/board/board.tsx";
import { ASCII_GLYPHS } from "../../../src/tui/present/glyphs.ts";
import { asInkOutput, Screen } from "../../../src/tui/screen/screen.ts";
import type { JournalWriter } from "../../session/a-journal.ts";
import { aDay, heard, instant, summaryOf } from "../a-day.ts";
import { EmulatedTerminal } from "../screen/emulator.ts";

interface Given {
  readonly journal: JournalWriter;
  readonly nowS: number;
  readonly isBlind?: boolean;
  readonly isAscii?: boolean;
}

async function picture(given: Given, columns: number, rows: number): Promise<string> {
  const terminal = new EmulatedTerminal(columns, rows);
  const screen = new Screen(terminal);
  screen.enter();
  const shot = {
    summary: summaryOf(given.journal),
    now: instant(given.nowS),
    isBlind: given.isBlind ?? false,
    news: null,
  };
  const ink = render(
    <Board
      subscribe={() => () => undefined}
      snapshot={() => shot}
      theme="none"
      isAscii={given.isAscii ?? false}
      size={screen.size}
      subscribeSize={screen.subscribeSize}
    />,
    { stdout: asInkOutput(screen), debug: true, patchConsole: false, exitOnCtrlC: false },
  );
  const text = await terminal.text();
  ink.unmount();
  return `${text.join("\n")}\n`;
}

const golden = (name: string): string => `../../golden/${name}.txt`;
const LAST_S = 600 + 8 * 300;

function eightRuns(riders: 1 | 2 = 1): JournalWriter {
  return heard(aDay({ runs: 8, riders }), LAST_S);
}

describe("the board", () => {
  it.each([
    [80, 24],
    [100, 30],
    [200, 55],
    [40, 20],
  ])("at %ix%i", async (columns, rows) => {
    const text = await picture({ journal: eightRuns(), nowS: LAST_S + 3 }, columns, rows);
    await expect(text).toMatchFileSnapshot(golden(`board-${String(columns)}x${String(rows)}`));
  });

  it("says rider by rider where it stands", async () => {
    const text = await picture({ journal: eightRuns(2), nowS: LAST_S + 3 }, 100, 30);
    expect(text).toContain("Rider one");
    expect(text).toContain("Rider two");
    await expect(text).toMatchFileSnapshot(golden("board-two-riders-100x30"));
  });

  it("blind, shows only what to fit until the session is closed", async () => {
    const journal = heard(aDay({ runs: 9 }), LAST_S + 300);
    const open = await picture({ journal, nowS: LAST_S + 303, isBlind: true }, 80, 24);
    expect(open).toContain("to fit");
    expect(open).not.toMatch(/quicker|slower|decided|between|2:1|LAST TIME|counted/u);
    journal.write(LAST_S + 304, { type: "session-closed", body: {} });
    const closed = await picture({ journal, nowS: LAST_S + 305, isBlind: true }, 80, 24);
    expect(closed).toContain("quicker by");
  });

  it("never says clear while the start is not heard, and shows what endangers people", async () => {
    const text = await picture({ journal: eightRuns(), nowS: LAST_S + 60 }, 80, 24);
    expect(text).not.toContain("clear");
    expect(text).toMatch(/START QUIET FOR|COURSE MAY BE OCCUPIED/u);
  });

  it("does not have another set-up fitted before the warm-up, blind or not", async () => {
    const journal = heard(aDay({ runs: 0 }), 550);
    for (const isBlind of [true, false]) {
      const text = await picture({ journal, nowS: 552, isBlind }, 80, 24);
      expect(text).toContain("B ▲ Insert  after warm-up");
      expect(text).not.toContain("to fit");
    }
  });

  it("has a beginning: nothing ridden, the first set-up to ride", async () => {
    const journal = heard(aDay({ runs: 0 }), 550);
    const text = await picture({ journal, nowS: 552, isAscii: true }, 80, 24);
    expect(text).toMatch(/^[\n -~]*$/u);
    await expect(text).toMatchFileSnapshot(golden("board-empty-ascii-80x24"));
  });
});

describe("big letters", () => {
  it("are seven rows, all equally wide, and tell the set-ups apart", () => {
    const letters = Array.from("ABCDEFGH").map((id) => bigLetter(id, ASCII_GLYPHS));
    for (const rows of letters) {
      expect(rows).toHaveLength(7);
      expect(new Set(rows?.map((row) => row.length))).toEqual(new Set([10]));
    }
    expect(new Set(letters.map((rows) => rows?.join("\n"))).size).toBe(8);
    expect(bigLetter("a", ASCII_GLYPHS)).toEqual(bigLetter("A", ASCII_GLYPHS));
    expect(bigLetter("AB", ASCII_GLYPHS)).toBeUndefined();
  });
});
