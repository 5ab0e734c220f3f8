import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { createKeyStream, type Key } from "../../../src/tui/keys/key-stream.ts";

const ESC = "\u001b";
const utf8 = new TextEncoder();

/** Keys as short words; whatever pends at the end is flushed. */
function keys(...reads: readonly string[]): readonly string[] {
  const stream = createKeyStream();
  const found = reads.flatMap((read) => stream.push(utf8.encode(read)));
  return [...found, ...stream.flush()].map(word);
}

function word(key: Key): string {
  return key.type === "named" ? `<${key.name}>` : key.type === "paste" ? `"${key.text}"` : key.text;
}

describe("key stream", () => {
  it("splits keys that came in one read", () => {
    expect(keys("xy")).toEqual(["x", "y"]);
    expect(keys("y\r")).toEqual(["y", "<enter>"]);
    expect(keys("   ")).toEqual([" ", " ", " "]);
  });

  it("takes both codes of the backspace key for backspace", () => {
    expect(keys("\u007f\u0008")).toEqual(["<backspace>", "<backspace>"]);
  });

  it("knows the arrows in both of their forms, Ctrl-C and the keypad's Enter", () => {
    expect(keys(`${ESC}[A${ESC}[B${ESC}OC${ESC}OD`)).toEqual([
      "<up>",
      "<down>",
      "<right>",
      "<left>",
    ]);
    expect(keys(`\u0003${ESC}OM`)).toEqual(["<ctrl-c>", "<enter>"]);
    expect(keys(`${ESC}[5~${ESC}[6~${ESC}[H${ESC}[4~`)).toEqual([
      "<page-up>",
      "<page-down>",
      "<home>",
      "<end>",
    ]);
  });

  it.each([
    ["Ctrl+F1", `${ESC}[1;5P`],
    ["Ctrl+F13", `${ESC}[25;5~`],
    ["Shift+F1", `${ESC}[1;2P`],
    ["F1", `${ESC}OP`],
    ["F1 on a Linux console", `${ESC}[[A`],
    ["F5", `${ESC}[15~`],
    ["Ctrl+Up", `${ESC}[1;5A`],
    ["focus in", `${ESC}[I`],
    ["focus out", `${ESC}[O`],
    ["Shift+Tab", `${ESC}[Z`],
    ["Delete", `${ESC}[3~`],
    ["a mouse report", `${ESC}[<0;10;20M`],
    ["a cursor report", `${ESC}[12;40R`],
    ["an answer about colours", `${ESC}]11;rgb:0000/0000/0000${ESC}\\`],
    ["the same ended by a bell", `${ESC}]11;rgb:0000/0000/0000\u0007`],
    ["a device string", `${ESC}P>|term 1.0${ESC}\\`],
    ["Ctrl-letters", "\u0001\u001a\u0000"],
    ["a C1 control", "\u009b"],
    ["a change of direction", "\u202e"],
  ])("drops %s whole", (_name, bytes) => {
    expect(keys(`${bytes}x`)).toEqual(["x"]);
  });

  it("gives Esc alone only when nothing follows", () => {
    const stream = createKeyStream();
    expect(stream.push(utf8.encode(ESC))).toEqual([]);
    expect(stream.flushAfterMs()).toBe(50);
    expect(stream.flush()).toEqual([{ type: "named", name: "escape" }]);
    expect(stream.flushAfterMs()).toBeUndefined();
    expect(stream.flush()).toEqual([]);
  });

  it("loses no key that came with Esc in one read", () => {
    expect(keys(`${ESC} `)).toEqual(["<escape>", " "]);
    expect(keys(`${ESC}${ESC}`)).toEqual(["<escape>", "<escape>"]);
    expect(keys(`${ESC}${ESC}[A`)).toEqual(["<escape>", "<up>"]);
  });

  it("forgets half a sequence that nothing followed, so that the next key counts", () => {
    const stream = createKeyStream();
    stream.push(utf8.encode(`${ESC}[`));
    expect(stream.flush()).toEqual([]);
    expect(stream.push(utf8.encode("s"))).toEqual([{ type: "text", text: "s" }]);
  });

  it("takes a paste as one key, line ends and control sequences in it too", () => {
    expect(keys(`a${ESC}[200~q\rx${ESC}[Ay${ESC}[201~b`)).toEqual(["a", `"q\rx${ESC}[Ay"`, "b"]);
  });

  it("waits longer for a paste, and ends one whose end mark was lost", () => {
    const stream = createKeyStream();
    stream.push(utf8.encode(`${ESC}[200~half`));
    expect(stream.flushAfterMs()).toBe(2000);
    expect(stream.flush()).toEqual([{ type: "paste", text: "half" }]);
    expect(stream.push(utf8.encode("x"))).toEqual([{ type: "text", text: "x" }]);
  });

  it("keeps the beginning of an endless paste and still finds its end", () => {
    const stream = createKeyStream();
    stream.push(utf8.encode(`${ESC}[200~`));
    for (let i = 0; i < 100; i++) stream.push(utf8.encode("0123456789".repeat(100)));
    stream.push(utf8.encode(`${ESC}[20`));
    const [pasted, next, ...none] = stream.push(utf8.encode("1~z"));
    expect(pasted?.type === "paste" ? pasted.text.length : 0).toBe(65_536);
    expect(next).toEqual({ type: "text", text: "z" });
    expect(none).toEqual([]);
  });

  it("puts together characters that were cut in two", () => {
    const bytes = utf8.encode("é三");
    const stream = createKeyStream();
    const found = [...bytes].flatMap((byte) => stream.push(Uint8Array.of(byte)));
    expect(found.map(word)).toEqual(["é", "三"]);
  });

  it("drops bytes that are no character and goes on", () => {
    const stream = createKeyStream();
    const found = stream.push(Uint8Array.of(0xff, 0xc3, 0x28, 0xe4, 0xb8, 0x61, 0xed, 0xa0, 0x80));
    expect(found.map(word)).toEqual(["(", "a"]);
  });

  const anything = fc.oneof(
    fc.uint8Array({ maxLength: 60 }),
    fc
      .array(
        fc.constantFrom(
          ESC,
          "[",
          "O",
          "200~",
          "201~",
          "A",
          "1;5P",
          "]",
          "\\",
          "\u0007",
          "x",
          "é",
          "\r",
        ),
        { maxLength: 20 },
      )
      .map((parts) => utf8.encode(parts.join(""))),
  );

  it("never fails and gives the same keys however the bytes are cut", () => {
    fc.assert(
      fc.property(anything, fc.array(fc.integer({ min: 0, max: 60 })), (bytes, cuts) => {
        const whole = createKeyStream();
        const expected = [...whole.push(bytes), ...whole.flush()];
        const stream = createKeyStream();
        const edges = [0, ...cuts.filter((cut) => cut < bytes.length), bytes.length].sort(
          (a, b) => a - b,
        );
        const found = edges.flatMap((edge, i) =>
          stream.push(bytes.subarray(edge, edges[i + 1] ?? bytes.length)),
        );
        expect([...found, ...stream.flush()]).toEqual(expected);
      }),
      { seed: 20260509, numRuns: 5000 },
    );
  });

  it("never gives text with a control character in it", () => {
    fc.assert(
      fc.property(anything, (bytes) => {
        for (const key of createKeyStream().push(bytes)) {
          if (key.type === "text") expect(key.text).toMatch(/^\P{C}$/u);
        }
      }),
      { seed: 20260509, numRuns: 3000 },
    );
  });
});
