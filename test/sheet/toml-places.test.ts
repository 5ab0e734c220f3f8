// Lines of values in a TOML text: against hand-counted lines, and for any generated document.
import fc from "fast-check";
import { parse, stringify } from "smol-toml";
import { describe, expect, test } from "vitest";
import { lineOfPath, type TomlPath, tomlPlaces } from "../../src/sheet/toml-places.ts";

/** Every path to a value, element or table of a parsed document. */
function pathsOf(value: unknown, path: TomlPath = []): TomlPath[] {
  if (typeof value !== "object" || value === null || value instanceof Date) return [path];
  const inner = Array.isArray(value)
    ? value.flatMap((element: unknown, i) => pathsOf(element, [...path, i]))
    : Object.entries(value).flatMap(([key, element]) => pathsOf(element, [...path, key]));
  return [path, ...inner];
}

const text = `# a comment with [brackets] and "quotes"
top = 1
[session] # on the header's line
name = "a # no comment ] = \\" quote"
'quoted key' = 'it''s'.x
`;

describe("tomlPlaces", () => {
  test("keys, dotted keys and quoted keys", () => {
    const doc = 'top = 1\n\n[a]\n"odd key".b = 2\nc.d = 3\nc.e = 4\n[a.f."g.h"]\ni = 5\n';
    const places = tomlPlaces(doc);
    const line = (...path: TomlPath) => lineOfPath(places, path);
    expect(line("top")).toBe(1);
    expect(line("a")).toBe(3);
    expect(line("a", "odd key", "b")).toBe(4);
    expect(line("a", "c")).toBe(5);
    expect(line("a", "c", "e")).toBe(6);
    expect(line("a", "f", "g.h")).toBe(7);
    expect(line("a", "f", "g.h", "i")).toBe(8);
    expect(line("a", "f", "missing", "too")).toBe(7);
    expect(line("nothing")).toBe(1);
  });

  test("elements of arrays of tables, with tables inside them", () => {
    const doc =
      '[[s]]\nid = "A"\n[s.values]\nx = 1\n[[s]]\nid = "B"\n[s.values]\nx = 2\n[[s.deep]]\ny = 1\n[[s.deep]]\ny = 2\n[s.deep.er]\nz = 3\n';
    const places = tomlPlaces(doc);
    const line = (...path: TomlPath) => lineOfPath(places, path);
    expect(line("s")).toBe(1);
    expect(line("s", 0, "id")).toBe(2);
    expect(line("s", 0, "values", "x")).toBe(4);
    expect(line("s", 1)).toBe(5);
    expect(line("s", 1, "values")).toBe(7);
    expect(line("s", 1, "values", "x")).toBe(8);
    expect(line("s", 1, "deep", 1, "y")).toBe(12);
    expect(line("s", 1, "deep", 1, "er", "z")).toBe(14);
  });

  test("strings that hold what looks like TOML, over several lines", () => {
    const doc =
      'a = """\nb = 1 # "quoted"\n\\"""\n[x]\n""""\nc = \'\'\'\nd = 2\n\'\'\'\ne = [ # one\n  1, "]",\n  { f = "}", g = [2,\n 3] }, # two\n]\nh = "#" # three\ni = \'\\\'\r\nj = 4\n';
    expect(() => parse(doc)).not.toThrow();
    const places = tomlPlaces(doc);
    const line = (...path: TomlPath) => lineOfPath(places, path);
    expect(line("a")).toBe(1);
    expect(places.has('["b"]')).toBe(false);
    expect(places.has('["x"]')).toBe(false);
    expect(line("c")).toBe(6);
    expect(line("e", 0)).toBe(10);
    expect(line("e", 1)).toBe(10);
    expect(line("e", 2, "f")).toBe(11);
    expect(line("e", 2, "g", 1)).toBe(12);
    expect(line("h")).toBe(14);
    expect(line("i")).toBe(15);
    expect(line("j")).toBe(16);
  });

  test("a value is kept as it is written", () => {
    const places = tomlPlaces(
      "d = 2026-02-30 # a day\nn = [ 0x1F, 1_000 ]\r\nt = 2026-05-09 10:00:00",
    );
    expect(places.get('["d"]')?.text).toBe("2026-02-30");
    expect(places.get('["n",0]')?.text).toBe("0x1F");
    expect(places.get('["n",1]')?.text).toBe("1_000");
    expect(places.get('["t"]')?.text).toBe("2026-05-09 10:00:00");
  });

  const key = fc.oneof(fc.constantFrom("a", "b", "c d", "e.f", 'g"h', "\u00fc"), fc.string());
  const { doc: document } = fc.letrec((tie) => ({
    doc: fc.dictionary(key, tie("value"), { maxKeys: 4, noNullPrototype: true }),
    value: fc.oneof(
      { maxDepth: 3, withCrossShrink: true },
      fc.string({ unit: "grapheme" }),
      fc.integer(),
      fc.boolean(),
      fc.double({ noNaN: true }),
      fc.array(tie("value"), { maxLength: 3 }),
      fc.array(tie("doc"), { maxLength: 3 }),
      tie("doc"),
    ),
  }));

  test("every value of any document has a place, and no other path has", () => {
    fc.assert(
      fc.property(document, (value) => {
        const toml = stringify(value);
        const places = tomlPlaces(toml);
        const paths = pathsOf(parse(toml))
          .filter((p) => p.length > 0)
          .map((p) => JSON.stringify(p));
        expect([...places.keys()].sort()).toEqual(paths.sort());
      }),
      { seed: 71, numRuns: 300 },
    );
  });

  test("the line of a value in any document holds its key", () => {
    fc.assert(
      fc.property(document, fc.integer({ min: 1, max: 50 }), (value, blanks) => {
        // Pushing the document down by some lines pushes every place down by as many.
        const toml = stringify(value);
        const moved = tomlPlaces("#\n".repeat(blanks) + toml);
        for (const [path, place] of tomlPlaces(toml)) {
          expect(moved.get(path)?.line).toBe(place.line + blanks);
          expect(moved.get(path)?.text).toBe(place.text);
        }
      }),
      { seed: 72 },
    );
  });

  test("any text is walked to an end without complaint", () => {
    const pieces = fc.array(
      fc.constantFrom(
        '"',
        "'",
        '"""',
        "'''",
        "[",
        "[[",
        "]",
        "]]",
        "{",
        "}",
        "=",
        ".",
        ",",
        "#",
        "a",
        "\\",
        "\n",
        "\r",
        " ",
      ),
      { maxLength: 30 },
    );
    fc.assert(
      fc.property(
        fc.oneof(
          fc.string(),
          pieces.map((p) => p.join("")),
        ),
        (any) => {
          expect(tomlPlaces(any)).toBeInstanceOf(Map);
        },
      ),
      { seed: 73, numRuns: 2000 },
    );
    expect(tomlPlaces(text).get('["session","name"]')?.line).toBe(4);
  });

  test("a long string does not exhaust the walk", () => {
    const long = `a = """${'x"\\n'.repeat(300_000)}"""\nb = "${"y".repeat(300_000)}"\nc = 1\n`;
    expect(tomlPlaces(long).get('["c"]')?.line).toBe(3);
  });
});
