// `swaplap record`: timing without a screen; consoles and boards attach to the file.
import { Command } from "commander";
import { Recorder } from "../../app/recorder.ts";
import { laptopClock, laptopTimers } from "../laptop-time.ts";
import { openToWrite } from "../open-session.ts";
import { sayEvents } from "../plain-follow.ts";
import { portsGiven } from "../ports-given.ts";
import { tell } from "../print.ts";
import { untilSignal } from "../until-signal.ts";

export function recordCommand(): Command {
  return new Command("record")
    .description("timing without a screen; consoles and boards attach to the file")
    .argument("<file>", "the session file")
    .requiredOption(
      "--port <path...>",
      "serial port of a box; PATH=NAME: of a receiver whose lines the sheet describes; several allowed",
    )
    .addHelpText(
      "after",
      "\nExamples:\n  swaplap record day.swaplap --port /dev/ttyUSB0\n  swaplap record day.swaplap --port /dev/ttyUSB0=timer",
    )
    .action(async (file: string, options: { port: string[] }) => {
      const clock = laptopClock();
      const session = openToWrite(file, clock);
      let recorder: Recorder;
      try {
        recorder = new Recorder({
          file: session,
          ...portsGiven(options.port, session.session().lines),
          clock,
          scheduler: laptopTimers,
          pid: process.pid,
          notice: tell,
        });
        recorder.start();
      } catch (error) {
        session.close();
        throw error;
      }
      const stop = sayEvents(session, false, true);
      const unfollow = session.follow(laptopTimers, 200, (error) => {
        tell(`${error.message}: ${error.hint}`);
      });
      tell(`recording ${options.port.join(", ")} into ${file}; Ctrl-C ends it`);
      const code = await untilSignal();
      unfollow();
      stop();
      await recorder.stop("ended by the operator");
      session.close();
      process.exitCode = code;
    });
}
