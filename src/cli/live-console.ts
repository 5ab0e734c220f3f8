// The console on an open session: recorder inside unless another one is at work, screen or sentences.
import { Recorder } from "../app/recorder.ts";
import type { SessionFile } from "../app/session-file.ts";
import { UserError } from "../domain/errors.ts";
import type { ConsoleStatus, RecorderState } from "../tui/console/console-status.ts";
import { runConsole } from "../tui/console/run-console.tsx";
import { actsOn } from "./acts-on-file.ts";
import { batteryFollower } from "./battery-follower.ts";
import { feedOf } from "./feed-of.ts";
import { laptopTimers } from "./laptop-time.ts";
import { author } from "./open-session.ts";
import { nowIn, sayEvents, untilInputEnds } from "./plain-follow.ts";
import { portsGiven } from "./ports-given.ts";
import { tell } from "./print.ts";
import { hasScreen, type ScreenOptions, terminalFor } from "./terminal.ts";
import { untilSignal } from "./until-signal.ts";

export interface LiveOptions extends ScreenOptions {
  readonly port?: readonly string[];
  readonly hand?: true;
  readonly blind?: true;
}

const FOLLOW_MS = 100;
const NOTICES_KEPT = 20;
const TAKE_OVER_MS = 1000;

/** Runs until it is left; closes the file. @returns the exit code */
export async function liveConsole(session: SessionFile, options: LiveOptions): Promise<number> {
  const { file } = session.store;
  const ports = options.hand === true ? [] : (options.port ?? []);
  const notices: string[] = [];
  const isScreen = hasScreen(options);
  const notice = (text: string): void => {
    if (notices.at(-1) === text) return;
    if (!isScreen) tell(text);
    notices.push(text);
    if (notices.length > NOTICES_KEPT) notices.shift();
  };
  const holder = (): number | null => {
    const found = session.store.leaseHolder(session.clock.atUs());
    return found === null || found.pid === process.pid ? null : found.pid;
  };
  const recorder = ports.length > 0 ? recorderFor(session, ports, notice) : null;
  let isStarted = recorder !== null && startedRecording(recorder);
  // Once the other recorder has ended, or was killed, somebody has to go on hearing the boxes.
  const stopTrying = laptopTimers.every(TAKE_OVER_MS, () => {
    if (recorder === null || isStarted) return;
    try {
      isStarted = startedRecording(recorder);
    } catch (error) {
      // A full disk, a file out of reach: said, and tried again.
      if (!(error instanceof UserError)) throw error;
      if (notices.at(-1) !== error.message) notice(error.message);
    }
  });
  if (recorder === null && holder() === null && hasBoxes(session)) {
    notice("no port was named: gates are not heard; key the times, or start again with --port");
  }
  const unfollow = session.follow(laptopTimers, FOLLOW_MS, (error) => {
    notice(`${error.message}: ${error.hint}`);
  });
  let ended: Promise<void> | undefined;
  const end = (reason: string): Promise<void> => {
    ended ??= (async () => {
      unfollow();
      stopTrying();
      if (isStarted) await recorder?.stop(reason);
      session.close();
    })();
    return ended;
  };
  const state = (): RecorderState => {
    if (isStarted && recorder?.isRecording === true) return { kind: "here" };
    const pid = holder();
    return pid === null ? { kind: "by-hand" } : { kind: "elsewhere", pid };
  };
  const battery = batteryFollower(() => nowIn(session), session.summary().settings.zone);
  const status = (): ConsoleStatus => ({
    recorder: state(),
    notices: [...notices],
    warnings: 0,
    file,
    battery: battery(),
    isPractice: false,
    isBlind: options.blind === true,
    emergencyText: [],
  });
  let code = 0;
  if (isScreen) {
    const { feed, stop } = feedOf(session);
    await runConsole({
      terminal: terminalFor(() => void end("the terminal was closed"), file),
      feed,
      acts: actsOn(session, author("console")),
      now: () => nowIn(session),
      status,
      theme: options.theme,
      isAscii: options.ascii === true,
    });
    stop();
  } else {
    const stop = sayEvents(session, options.blind === true, true);
    // A recording goes on whether or not anybody is at standard input.
    const ends =
      recorder === null ? [untilSignal(), untilInputEnds().then(() => 0)] : [untilSignal()];
    code = await Promise.race(ends);
    stop();
  }
  await end("the console was left");
  return code;
}

/** @returns false if another program records into the file now */
function startedRecording(recorder: Recorder): boolean {
  try {
    recorder.start();
    return true;
  } catch (error) {
    if (error instanceof UserError && error.code === "in-use") return false;
    throw error;
  }
}

function recorderFor(
  session: SessionFile,
  ports: readonly string[],
  notice: (text: string) => void,
): Recorder {
  try {
    return new Recorder({
      file: session,
      ...portsGiven(ports, session.session().lines),
      clock: session.clock,
      scheduler: laptopTimers,
      pid: process.pid,
      notice,
    });
  } catch (error) {
    // A port that names no lines of the sheet.
    session.close();
    throw error;
  }
}

function hasBoxes(session: SessionFile): boolean {
  return session.session().gates.some((gate) => gate.box !== null);
}
