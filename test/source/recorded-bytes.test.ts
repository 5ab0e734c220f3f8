// A recording: every byte once and in order, however it is cut.
import { describe, expect, it } from "vitest";
import { hostUs } from "../../src/domain/time.ts";
import { RecordedBytes } from "../../src/source/recorded-bytes.ts";

const bytes = Uint8Array.from({ length: 100 }, (_, i) => i);
const recording = { name: "old day", bytes, startUs: hostUs(1000), everyUs: 10 };

describe("RecordedBytes", () => {
  it("hands out every byte in order, stamped one step apart, and then ends", async () => {
    const source = new RecordedBytes({ ...recording, cuts: [1, 7, 30] });
    const got: number[] = [];
    const stamps: number[] = [];
    const told: string[] = [];
    source.open({
      bytes: (chunk, at) => {
        got.push(...chunk);
        stamps.push(at);
      },
      opened: () => told.push("opened"),
      lost: (reason) => told.push(reason),
    });
    source.write(Uint8Array.of(5));
    source.play();
    expect(got).toEqual([...bytes]);
    expect(stamps).toEqual(stamps.map((_, i) => 1000 + 10 * i));
    expect(told).toEqual(["opened", "old day has ended"]);
    expect(source.written).toEqual([Uint8Array.of(5)]);
    await source.close();
    source.play();
    expect(got.length).toBe(100);
  });

  it("refuses cuts that would never end", () => {
    for (const cuts of [[], [0], [3, -1], [Number.NaN]]) {
      expect(() => new RecordedBytes({ ...recording, cuts })).toThrow(RangeError);
    }
  });
});
