// Started by the screen's bench in a process of its own: writes a given frame each second with the
// clock changed, line by line as our screen does, without React.
import { Screen } from "../../src/tui/screen/screen.ts";

const lines = JSON.parse(Buffer.from(process.argv[2] ?? "", "base64").toString()) as string[];
const screen = new Screen(process.stdout);
const clock = /\d\d:\d\d:\d\d/u;

function draw(): void {
  const now = new Date().toISOString().slice(11, 19);
  screen.write([(lines[0] ?? "").replace(clock, now), ...lines.slice(1)].join("\n"));
}

screen.enter();
draw();
setInterval(draw, 1000);
