// `swaplap console`, and `swaplap` alone: the operator's console, or the start menu without a file.

import { randomInt } from "node:crypto";
import { existsSync, readdirSync, statSync } from "node:fs";
import { Command } from "commander";
import { planRefusal } from "../../advisor/plan-refusal.ts";
import { findGates } from "../../app/find-boxes.ts";
import { NO_HOURS } from "../../domain/day-hours.ts";
import { UserError } from "../../domain/errors.ts";
import { NO_GEAR } from "../../domain/gear.ts";
import type { Gate, Sheet } from "../../domain/session.ts";
import { listPorts } from "../../source/list-ports.ts";
import { SerialSource } from "../../source/serial-port.ts";
import { FILE_ENDING, type NewSession } from "../../tui/start/new-session.ts";
import { runStart } from "../../tui/start/run-start.tsx";
import { laptopTimers } from "../laptop-time.ts";
import { type LiveOptions, liveConsole } from "../live-console.ts";
import { livePractice } from "../live-practice.ts";
import { author, makeSession, openToWrite, sheetDefaults } from "../open-session.ts";
import { tell } from "../print.ts";
import { hasScreen, terminalFor, withScreenOptions } from "../terminal.ts";
import { PRACTICE_RUNS, PRACTICE_SPEED } from "./practice.tsx";

export function consoleCommand(): Command {
  const command = new Command("console")
    .description("the operator's console; without a file: practise, make a session, or open one")
    .argument("[file]", "the session file")
    .option(
      "--port <path...>",
      "serial port of a box; PATH=NAME: of a receiver whose lines the sheet describes; several allowed",
    )
    .option("--hand", "no gates: times are keyed")
    .option("--blind", "hides the standing until the session is closed")
    .addHelpText(
      "after",
      "\nExample:\n  swaplap console day.swaplap --port /dev/ttyUSB0\n\nIf the terminal is left in a state: tput rmcup; stty sane",
    );
  return withScreenOptions(command).action(
    async (file: string | undefined, options: LiveOptions) => {
      if (file !== undefined) refuseUnknownCommand(file);
      const code =
        file === undefined
          ? await startMenu(options)
          : await liveConsole(openToWrite(file), options);
      process.exit(code);
    },
  );
}

/** Without a command the first word is a session file: unless there is none and it looks like a command. */
function refuseUnknownCommand(word: string): void {
  if (process.argv[2] !== word || !/^[a-z][a-z-]*$/.test(word) || existsSync(word)) return;
  throw new UserError(
    "wrong-usage",
    `there is no command ${word}, and no file of that name`,
    "see swaplap --help",
  );
}

async function startMenu(options: LiveOptions): Promise<number> {
  if (!hasScreen(options)) {
    throw new UserError(
      "wrong-usage",
      "no session file was named, and there is no terminal to choose one in",
      "swaplap console FILE, or swaplap practice --runs 12",
    );
  }
  const seen = await listPorts();
  const choice = await runStart({
    terminal: terminalFor(() => undefined, "the session file"),
    world: {
      files: sessionFilesHere(),
      exists: existsSync,
      ports: seen.map((port) => port.path),
      refusal: (session) => planRefusal(sheetOf(session, []))?.message ?? null,
    },
    theme: options.theme,
    isAscii: options.ascii === true,
  });
  switch (choice.kind) {
    case "practice":
      await livePractice({
        ...options,
        file: undefined,
        runs: PRACTICE_RUNS,
        speed: PRACTICE_SPEED,
        seed: randomInt(1, 1_000_000),
      });
      return 0;
    case "new":
      return await newSession(choice.session, options);
    case "open":
      return await liveConsole(openToWrite(choice.file), options);
    case "quit":
      return 0;
  }
}

async function newSession(session: NewSession, options: LiveOptions): Promise<number> {
  const { port } = session;
  let gates: readonly Gate[] = [];
  if (port !== null) {
    tell(`asking who is there on ${port} ...`);
    gates = await findGates(new SerialSource(port), laptopTimers);
    if (gates[0]?.role !== "start" || gates.at(-1)?.role !== "finish") {
      throw new UserError(
        "not-found",
        `no start and finish box answered on ${port}`,
        "check cable and batteries (swaplap listen PORT), or make the session for timing by hand",
      );
    }
  }
  const file = makeSession(sheetOf(session, gates), session.file, author("console"));
  const timing = port === null ? { hand: true as const } : { port: [port] };
  return await liveConsole(file, { ...options, ...timing });
}

/** The form's answers as a sheet; the rest are the sheet's own defaults. */
function sheetOf(session: NewSession, found: readonly Gate[]): Sheet {
  const { zone, date, seed } = sheetDefaults();
  const byHand: readonly Gate[] = [
    { role: "start", box: null, sector: null, terrain: null },
    { role: "finish", box: null, sector: null, terrain: null },
  ];
  return {
    settings: {
      name: session.stretch,
      date,
      zone,
      stretch: session.stretch,
      expectedRunS: session.expectedRunS,
      lengthM: null,
      dropM: null,
      marginS: session.marginS,
      plannedRuns: session.plannedRuns,
      days: 1,
      minutes: null,
      lapMinutes: null,
      spreadS: null,
      spreadDf: null,
      drift: "linear",
      bands: "plan",
      spreads: "each",
      mainSetup: null,
      confidence: 0.95,
      seed,
      travelMinS: session.expectedRunS / 2,
      travelMaxS: session.expectedRunS * 3,
      aspects: [],
      start: null,
    },
    gates: found.length === 0 ? byHand : found,
    riders: [
      { id: "R1", name: session.rider, tag: null, newTo: [], setups: null, plannedRuns: null },
    ],
    setups: [
      {
        id: "A",
        name: session.setupA,
        baseline: true,
        values: {},
        worthS: null,
        price: null,
        weightKg: null,
      },
      {
        id: "B",
        name: session.setupB,
        baseline: false,
        values: {},
        worthS: null,
        price: null,
        weightKg: null,
      },
    ],
    swaps: [],
    hours: NO_HOURS,
    gear: NO_GEAR,
    explored: null,
    lines: [],
  };
}

/** Session files in this folder, newest first. */
function sessionFilesHere(): readonly string[] {
  return readdirSync(".")
    .filter((name) => name.endsWith(FILE_ENDING))
    .sort((a, b) => statSync(b).mtimeMs - statSync(a).mtimeMs);
}
