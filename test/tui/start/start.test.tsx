// The start menu and its form: keys in, a choice out.
import { render } from "ink";
import { describe, expect, it } from "vitest";
import { createKeyStream } from "../../../src/tui/keys/key-stream.ts";
import { asInkOutput, Screen } from "../../../src/tui/screen/screen.ts";
import { type NewSession, typedSeconds } from "../../../src/tui/start/new-session.ts";
import { Start } from "../../../src/tui/start/run-start.tsx";
import {
  firstStart,
  type StartChoice,
  type StartState,
  type StartWorld,
  startKey,
} from "../../../src/tui/start/start-menu.ts";
import { EmulatedTerminal } from "../screen/emulator.ts";

const ESC = "\u001b";
const UP = `${ESC}[A`;
const BACKSPACE = "\u007f";

const world: StartWorld = {
  exists: (file) => file === "taken.swaplap",
  ports: [],
  files: Array.from({ length: 12 }, (_, i) => `day-${String(i + 1)}.swaplap`),
  refusal: (session) =>
    session.plannedRuns < 8 ? "the plan is too short: 8 runs or more for two set-ups" : null,
};

/** What keys lead to, as a keyboard sends them. */
function reached(bytes: string, given: StartWorld = world): StartState | StartChoice {
  const keys = createKeyStream();
  let state: StartState = firstStart;
  for (const key of [...keys.push(new TextEncoder().encode(bytes)), ...keys.flush()]) {
    const step = startKey(state, key, given);
    if (step.choice !== null) return step.choice;
    state = step.state;
  }
  return state;
}

const FORM = ["n", "insert\r", "Upper woods\r", "Ada\r", "No insert\r", "Insert\r"].join("");

describe("the start menu", () => {
  it("practises on p, quits on q, Esc and Ctrl-C", () => {
    expect(reached("p")).toEqual({ kind: "practice" });
    expect(reached("P")).toEqual({ kind: "practice" });
    for (const key of ["q", ESC, "\u0003"]) expect(reached(key)).toEqual({ kind: "quit" });
  });

  it("does nothing on any other key or on a paste", () => {
    expect(reached("xyz5")).toEqual(firstStart);
    expect(reached(`${ESC}[200~q${ESC}[201~`)).toEqual(firstStart);
  });

  it("opens a session by number or with the arrows, beyond the ninth too", () => {
    expect(reached("o2")).toEqual({ kind: "open", file: "day-2.swaplap" });
    expect(reached("ojj\r")).toEqual({ kind: "open", file: "day-3.swaplap" });
    expect(reached(`o${"j".repeat(10)}\r`)).toEqual({ kind: "open", file: "day-11.swaplap" });
    expect(reached(`o${"j".repeat(9)}1`)).toEqual({ kind: "open", file: "day-10.swaplap" });
    expect(reached(`o${ESC}`)).toEqual(firstStart);
  });

  it("says so where there is nothing to open", () => {
    const state = reached("o", { ...world, files: [] });
    expect(state).toEqual({
      kind: "menu",
      message: "there is no *.swaplap file in this folder",
    });
  });
});

describe("the form for a new session", () => {
  it("asks for everything in turn and gives it as a session", () => {
    const session: NewSession = {
      file: "insert.swaplap",
      stretch: "Upper woods",
      rider: "Ada",
      setupA: "No insert",
      setupB: "Insert",
      plannedRuns: 12,
      expectedRunS: 95.5,
      marginS: 0.8,
      port: null,
    };
    expect(reached(`${FORM}\r1:35.5\r0,8\r\r`)).toEqual({ kind: "new", session });
  });

  it("takes the port that is seen unless told otherwise", () => {
    const seen = { ...world, ports: ["/dev/ttyUSB0"] };
    expect(reached(`${FORM}\r95\r\r\r`, seen)).toMatchObject({
      session: { port: "/dev/ttyUSB0", marginS: null, expectedRunS: 95 },
    });
    const hand = `${BACKSPACE.repeat(12)}Hand\r`;
    expect(reached(`${FORM}\r95\r\r${hand}`, seen)).toMatchObject({ session: { port: null } });
  });

  it.each([
    ["n\r", "the file needs a name"],
    ["ntaken\r", "taken.swaplap is there already"],
    ["na\r\r", "the stretch needs a name"],
    [`na\r${"x".repeat(61)}\r`, "at most 60 characters"],
    [`${FORM}x\r`, "a whole number of runs from 1 to 999, like 12"],
    [`${FORM}\rfast\r`, "a time like 95 or 1:35, above nought"],
    [`${FORM}\r1:75\r`, "a time like 95 or 1:35, above nought"],
    [`${FORM}\r95\r-1\r`, "seconds like 0.8, or nothing"],
  ])("refuses %j in words and stays on the field", (keys, complaint) => {
    expect(reached(keys)).toMatchObject({ kind: "form", complaint });
  });

  it("shows why a session cannot be made, and lets it be mended", () => {
    const short = `${FORM}${BACKSPACE.repeat(2)}4\r95\r\r\r`;
    expect(reached(short)).toMatchObject({
      kind: "form",
      complaint: "the plan is too short: 8 runs or more for two set-ups",
    });
    const mended = `${short}${UP.repeat(3)}${BACKSPACE}10\r\r\r\r`;
    expect(reached(mended)).toMatchObject({ kind: "new", session: { plannedRuns: 10 } });
  });

  it("goes back to a field, and out with Esc", () => {
    expect(reached(`na\rb${UP}`)).toMatchObject({ at: 0, values: { stretch: "b", file: "a" } });
    expect(reached(`na\rb${ESC}`)).toEqual(firstStart);
  });

  it("takes a paste as text and lets nothing in that drives a terminal", () => {
    const paste = `${ESC}[200~a\u0007b\r\nc${ESC}[201~`;
    expect(reached(`n${paste}`)).toMatchObject({ kind: "form", values: { file: "a b c" } });
  });

  it("reads times as people write them", () => {
    expect(["95", "95.5", "95,5", "1:35", "1:05.25"].map(typedSeconds)).toEqual([
      95, 95.5, 95.5, 95, 65.25,
    ]);
    expect(["", "0", "0:00", "1:5", "-3", "1e3", "99999"].map(typedSeconds)).toEqual(
      Array.from({ length: 7 }, () => undefined),
    );
  });
});

async function picture(state: StartState, columns: number, rows: number): Promise<string> {
  const terminal = new EmulatedTerminal(columns, rows);
  const screen = new Screen(terminal);
  screen.enter();
  const ink = render(
    <Start
      subscribe={() => () => undefined}
      snapshot={() => state}
      options={{ world, theme: "none", isAscii: false }}
      size={screen.size}
      subscribeSize={screen.subscribeSize}
    />,
    { stdout: asInkOutput(screen), debug: true, patchConsole: false, exitOnCtrlC: false },
  );
  const text = await terminal.text();
  ink.unmount();
  return `${text.join("\n")}\n`;
}

describe("the start menu's picture", () => {
  it.each([
    ["start-menu-80x24", ""],
    ["start-open-80x24", "ojjj"],
    ["start-form-80x24", `${FORM}x\r`],
  ])("%s", async (name, keys) => {
    const state = reached(keys);
    if (!("message" in state || "selected" in state || "at" in state)) {
      throw new TypeError(`that was a choice: ${state.kind}`);
    }
    await expect(await picture(state, 80, 24)).toMatchFileSnapshot(`../../golden/${name}.txt`);
  });
});
