// Splitting, checking and parsing lines, against JSON of the same fields.
import { hostUs } from "../../src/domain/time.ts";
import { decode, decoderStart } from "../../src/protocol/decode.ts";
import { type Figure, figure } from "./figure.ts";
import { lapEvents, linesOf } from "./invented-day.ts";
import { medianMs } from "./quantile.ts";

const LAPS = 2000;
/** As a serial port hands them over at most. */
const CHUNK = 4096;

export function decodeFigures(): Promise<readonly Figure[]> {
  const events = Array.from({ length: LAPS }, (_, lap) => lapEvents(lap, hostUs(0))).flat();
  const bytes = Buffer.from(linesOf(events), "latin1");
  const texts = events.map((event) => JSON.stringify(event));
  const ours = medianMs(9, 3, () => {
    let state = decoderStart;
    let count = 0;
    for (let from = 0; from < bytes.length; from += CHUNK) {
      const decoded = decode(state, bytes.subarray(from, from + CHUNK));
      state = decoded.state;
      count += decoded.messages.length;
    }
    if (count !== events.length) throw new Error(`${String(count)} lines decoded`);
  });
  const json = medianMs(9, 3, () => {
    let count = 0;
    for (const text of texts) count += Number(JSON.parse(text) !== null);
    if (count !== events.length) throw new Error(`${String(count)} texts parsed`);
  });
  const each = 1000 / events.length;
  const yardstick = { what: "JSON.parse of the same fields", value: json * each };
  return Promise.resolve([figure("decode.us_per_line", ours * each, "us", yardstick)]);
}
