// `swaplap ports`: the serial ports of this machine.
import { Command } from "commander";
import { listPorts } from "../../source/list-ports.ts";
import { printJson, printLine } from "../print.ts";

export function portsCommand(): Command {
  return new Command("ports")
    .description("the serial ports of this machine")
    .option("--json", "one JSON document and nothing else")
    .addHelpText("after", "\nExample:\n  swaplap ports")
    .action(async (options: { json?: true }) => {
      const ports = await listPorts();
      if (options.json) {
        printJson({ format: "swaplap-ports", version: 1, ports });
        return;
      }
      for (const port of ports)
        printLine([port.path, port.maker ?? ""].filter((t) => t !== "").join("  "));
      if (ports.length === 0) {
        printLine(
          "no serial ports found: is the cable in? Practise without gates: swaplap practice",
        );
      }
    });
}
