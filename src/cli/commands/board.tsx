// `swaplap board`: the rider's board in a second terminal; reads the file and follows it live.
import { Command } from "commander";
import { runBoard } from "../../tui/board/run-board.tsx";
import { feedOf } from "../feed-of.ts";
import { laptopTimers } from "../laptop-time.ts";
import { openToRead } from "../open-session.ts";
import { nowIn, sayEvents, untilInputEnds } from "../plain-follow.ts";
import { tell } from "../print.ts";
import { hasScreen, type ScreenOptions, terminalFor, withScreenOptions } from "../terminal.ts";
import { untilSignal } from "../until-signal.ts";

const FOLLOW_MS = 200;

export function boardCommand(): Command {
  const command = new Command("board")
    .description(
      "the rider's board: last time, where we stand, what to fit next; follows the file live",
    )
    .argument("<file>", "the session file")
    .option("--blind", "shows only what to fit until the session is closed")
    .addHelpText(
      "after",
      "\nq ends it. Without a terminal it prints sentences until standard input ends.\n\nExample:\n  swaplap board day.swaplap",
    );
  return withScreenOptions(command).action(
    async (file: string, options: ScreenOptions & { blind?: true }) => {
      const session = openToRead(file);
      const isScreen = hasScreen(options);
      let trouble = "";
      const unfollow = session.follow(laptopTimers, FOLLOW_MS, (error) => {
        const said = trouble;
        trouble = `${error.message}: ${error.hint}`;
        if (!isScreen && trouble !== said) tell(trouble);
      });
      const isBlind = options.blind === true;
      if (isScreen) {
        const { feed, stop } = feedOf(session);
        await runBoard({
          terminal: terminalFor(() => undefined, file),
          feed,
          now: () => nowIn(session),
          theme: options.theme,
          isAscii: options.ascii === true,
          isBlind,
        });
        stop();
      } else {
        const stop = sayEvents(session, isBlind, false);
        process.exitCode = await Promise.race([untilSignal(), untilInputEnds().then(() => 0)]);
        stop();
      }
      unfollow();
      if (isScreen && trouble !== "") tell(trouble);
      session.close();
      process.exit();
    },
  );
}
