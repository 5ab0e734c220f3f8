// Tables as CSV text: RFC 4180, numbers in full, and no formula for a spreadsheet to run.
import { parse } from "csv-parse/sync";
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Row, Table } from "../../src/domain/table.ts";
import { tableCsv } from "../../src/report/csv.ts";

const table = (rows: readonly Row[]): Table => ({
  name: "t",
  columns: [
    { name: "a", type: "TEXT" },
    { name: "b", type: "TEXT" },
    { name: "c", type: "REAL" },
  ],
  key: ["a"],
  rows,
});
const body = (row: Row) => tableCsv(table([row])).replace("a,b,c\r\n", "");

describe("tableCsv", () => {
  // RFC 4180, section 2 (entry rfc4180-writing of the reference cases, by Python's csv module);
  // its third row, formulas, is ours to neutralise.
  test("quotes where RFC 4180 asks for it and nowhere else", () => {
    const rows = [
      { a: "a", b: "b,c", c: 1 },
      { a: 'd"e', b: " sp ", c: null },
      { a: "line\r\nbreak", b: "", c: 0 },
    ];
    expect(tableCsv(table(rows))).toBe(
      'a,b,c\r\na,"b,c",1\r\n"d""e", sp ,\r\n"line\r\nbreak",,0\r\n',
    );
  });

  test("a table without rows has its header", () => {
    expect(tableCsv(table([]))).toBe("a,b,c\r\n");
  });

  test("values stand under their columns whatever the order and number of a row's keys", () => {
    expect(body({ c: 2, z: "not a column", a: "x" })).toBe("x,,2\r\n");
  });

  test("numbers stay numbers, in full", () => {
    expect(body({ a: "x", b: "y", c: -(0.1 + 0.2) })).toBe("x,y,-0.30000000000000004\r\n");
    expect(body({ a: "x", b: "y", c: 1e-9 })).toBe("x,y,1e-9\r\n");
    expect(() => body({ a: "x", b: "y", c: Number.NaN })).toThrow(RangeError);
  });

  test.each([
    ["=1+1", "'=1+1"],
    ["+1", "'+1"],
    ["-1", "'-1"],
    ["@sum", "'@sum"],
    ["\tx", '"\'\tx"'],
    ["\rx", '"\'\rx"'],
    ["\uff1d1", "'\uff1d1"],
    ['=HYPERLINK("x","y")', '"\'=HYPERLINK(""x"",""y"")"'],
    // Seen by a program that splits at semicolons or ignores the quotes:
    ["x;=1", '"x;\'=1"'],
    ["x\n=1", '"x\n\'=1"'],
    ['x;"=1', '"x;""\'=1"'],
    ["a;b", '"a;b"'],
    ["1-2=3", "1-2=3"],
    ["wet; -3 degrees", '"wet; -3 degrees"'],
  ])("the text %j is written as %j", (text, written) => {
    expect(body({ a: text, b: "", c: null })).toBe(`${written},,\r\n`);
  });

  const nasty = fc.oneof(
    fc.string({ unit: "binary" }),
    fc
      .array(fc.constantFrom("=", "+", "-", "@", "\t", "\r", "\n", ";", ",", '"', "'", "x"))
      .map((p) => p.join("")),
  );

  test("whatever a text holds, no cell begins as a formula, at any separator", () => {
    fc.assert(
      fc.property(nasty, nasty, (a, b) => {
        const csv = tableCsv(table([{ a, b, c: 1 }]));
        for (const cell of parse(csv).flat()) expect(cell).not.toMatch(/^[=+\-@\t\r\n]/);
        // A program that splits at these, and takes a quote in mid-line for a character:
        for (const piece of csv.split(/[;\t\r\n]/)) {
          expect(piece).not.toMatch(/^"*[=+\-@]/);
        }
      }),
      { seed: 4180, numRuns: 2000 },
    );
  });

  test("a text that starts no formula reads back as it was", () => {
    const plain = nasty.filter((s) => !/(?:^|[;\t\r\n])"*[=+\-@]|^[\t\r\n]/.test(s));
    fc.assert(
      fc.property(plain, (a) => {
        const records = parse(tableCsv(table([{ a, b: "y", c: 2 }])), {
          record_delimiter: "\r\n",
        });
        expect(records).toEqual([
          ["a", "b", "c"],
          [a, "y", "2"],
        ]);
      }),
      { seed: 4181, numRuns: 1000 },
    );
  });
});
