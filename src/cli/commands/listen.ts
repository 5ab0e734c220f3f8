// `swaplap listen`: what a box says, decoded, live; nothing is recorded.
import { Command } from "commander";
import { BoxListener } from "../../app/box-listener.ts";
import { SerialSource } from "../../source/serial-port.ts";
import { printLine, tell } from "../print.ts";
import { untilSignal } from "../until-signal.ts";

export function listenCommand(): Command {
  return new Command("listen")
    .description("what a box says, decoded, live; nothing is recorded and nothing acknowledged")
    .argument("<port>", "the serial port")
    .addHelpText("after", "\nExample:\n  swaplap listen /dev/ttyUSB0")
    .action(async (port: string) => {
      const listener = new BoxListener(new SerialSource(port), printLine, tell);
      listener.start();
      process.exitCode = await untilSignal();
      await listener.stop();
    });
}
