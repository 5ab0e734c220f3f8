// Console, board and start menu run in a terminal from opening to leaving.
import { describe, expect, it, vi } from "vitest";
import { runBoard } from "../../src/tui/board/run-board.tsx";
import { runConsole } from "../../src/tui/console/run-console.tsx";
import { createFeed } from "../../src/tui/feed.ts";
import { runStart } from "../../src/tui/start/run-start.tsx";
import { F1, S1 } from "../session/a-journal.ts";
import { aDay, heard, instant, summaryOf } from "./a-day.ts";
import { aTerminal } from "./a-terminal.ts";
import { recordActs } from "./recorded-acts.ts";

// As on a terminal that knows all colours: before the screens look at what chalk found out.
await vi.hoisted(async () => {
  const { default: chalk } = await import("chalk");
  chalk.level = 3;
});

const journal = () => heard(aDay({ runs: 2 }), 1200);
const common = { now: () => instant(1203), theme: "dark", isAscii: false } as const;
const status = () => ({
  recorder: { kind: "here" } as const,
  notices: [],
  warnings: 2,
  file: "day.swaplap",
  battery: null,
  isPractice: false,
  isBlind: false,
  emergencyText: [],
});

describe("the console", () => {
  it("follows the feed, keys the moment of the press, and gives the terminal back on q", async () => {
    let nowMs = 5000;
    const under = aTerminal(80, 24, () => nowMs);
    const day = journal();
    const feed = createFeed(summaryOf(day));
    const { acts, calls } = recordActs();
    const left = runConsole({ ...common, terminal: under.terminal, feed, acts, status });
    expect(await under.emulator.buffer()).toBe("alternate");
    expect((await under.emulator.text()).join("\n")).toContain("2 warnings");

    day.bike(S1, 1201);
    feed.publish(summaryOf(day));
    feed.flush();
    expect((await under.emulator.text()).join("\n")).toContain("1 ON COURSE");
    nowMs = 7000.25;
    under.keyboard.type(" ");
    expect(calls).toEqual(["mark 2 7000250"]);

    day.bike(F1, 1331);
    feed.publish(summaryOf(day));
    feed.flush();
    nowMs = 9000;
    under.keyboard.type("q");
    await left;
    expect(await under.emulator.buffer()).toBe("normal");
    expect(under.done).toEqual(["raw", "resumed", "paused", "cooked"]);
    expect(under.host.listenerCount("SIGTERM")).toBe(0);
  });

  it("gives the terminal back and closes the file when the program is told to end", async () => {
    const under = aTerminal(100, 30);
    const feed = createFeed(summaryOf(journal()));
    const { acts } = recordActs();
    void runConsole({ ...common, terminal: under.terminal, feed, acts, status });
    under.host.emit("SIGTERM");
    expect(await under.emulator.buffer()).toBe("normal");
    expect(under.done.slice(-3)).toEqual(["cooked", "closed", "exit 143"]);
  });

  it.each([
    ["in their colours", undefined, true],
    ["without any where the user wants none", "1", false],
  ])("shows set-ups %s", async (_, noColor, isColoured) => {
    const under = aTerminal(80, 24);
    const feed = createFeed(summaryOf(journal()));
    const { acts } = recordActs();
    const terminal = { ...under.terminal, noColor };
    const left = runConsole({ ...common, terminal, feed, acts, status });
    await under.emulator.text();
    const written = under.emulator.writes.join("");
    expect(written.includes("[38;2;86;180;233m")).toBe(isColoured); // B: sky blue
    expect(written.includes("[48;2;")).toBe(isColoured);
    under.keyboard.type("q");
    await left;
  });
});

describe("the board", () => {
  it("follows the feed and knows no key but q", async () => {
    const under = aTerminal(80, 24);
    const day = journal();
    const feed = createFeed(summaryOf(day));
    const left = runBoard({ ...common, terminal: under.terminal, feed, isBlind: false });
    expect((await under.emulator.text()).join("\n")).toContain("course clear");
    under.keyboard.type("xu s1\r");
    day.bike(S1, 1201);
    feed.publish(summaryOf(day));
    feed.flush();
    expect((await under.emulator.text()).join("\n")).toContain("1 ON COURSE");
    under.keyboard.type("q");
    await left;
    expect(await under.emulator.buffer()).toBe("normal");
  });
});

describe("the start menu", () => {
  it("gives the terminal back before the choice is acted on", async () => {
    const under = aTerminal(80, 24);
    const world = { exists: () => false, ports: [], files: ["a.swaplap"], refusal: () => null };
    const chosen = runStart({ terminal: under.terminal, world, theme: "none", isAscii: true });
    expect((await under.emulator.text()).join("\n")).toContain("practise on a simulated hill");
    under.keyboard.type("o1");
    expect(await chosen).toEqual({ kind: "open", file: "a.swaplap" });
    expect(await under.emulator.buffer()).toBe("normal");
  });
});

describe("the feed", () => {
  it("tells of the first change at once, of the others once a frame, of nothing twice", () => {
    const day = journal();
    const summaries = [0, 1, 2, 3].map((i) => {
      day.bike(S1, 1300 + i * 60);
      return summaryOf(day);
    });
    const [first, ...others] = summaries;
    if (first === undefined) throw new RangeError("no summary");
    const feed = createFeed(first);
    const heardOf: number[] = [];
    const end = feed.subscribe(() => heardOf.push(feed.summary().lastSeq));
    for (const each of others) feed.publish(each);
    feed.publish(others.at(-1) ?? first);
    expect(heardOf).toEqual([others[0]?.lastSeq]);
    feed.flush();
    feed.flush();
    expect(heardOf).toEqual([others[0]?.lastSeq, others[2]?.lastSeq]);
    end();
    feed.publish(first);
    feed.flush();
    expect(heardOf).toHaveLength(2);
  });
});
