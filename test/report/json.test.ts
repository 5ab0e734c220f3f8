// A session as one JSON document: what is in it, and that a terminal may print it.
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Comparison } from "../../src/domain/comparison.ts";
import type { Table } from "../../src/domain/table.ts";
import { jsonText, sessionJson } from "../../src/report/json.ts";

const comparison: Comparison = {
  format: "swaplap-comparison",
  version: 1,
  session: { name: "Insert", stretch: "Hollow oak", date: "2026-05-09" },
  settings: {
    bands: "open",
    confidence: 0.95,
    drift: "linear",
    spreads: "each",
    margin_s: null,
    planned_runs: null,
    planned_end: null,
    baseline: "A",
  },
  riders: [],
  together: null,
  next: {
    rider: null,
    setup: null,
    because: "",
    band_now_s: null,
    band_after_s: null,
    stop: null,
  },
  remarks: [],
  feel: [],
};
const setup: Table = {
  name: "setup",
  columns: [
    { name: "setup_id", type: "TEXT" },
    { name: "name", type: "TEXT" },
    { name: "weight_kg", type: "REAL" },
  ],
  key: ["setup_id"],
  rows: [
    { setup_id: "A", name: "=no insert", weight_kg: 14.2 },
    { name: "Insert", setup_id: "B" },
  ],
};

describe("sessionJson", () => {
  test("holds every table by its columns, and the comparison", () => {
    expect(
      JSON.parse(sessionJson([setup, { ...setup, name: "empty", rows: [] }], comparison)),
    ).toEqual({
      format: "swaplap-session",
      version: 1,
      tables: {
        setup: [
          { setup_id: "A", name: "=no insert", weight_kg: 14.2 },
          { setup_id: "B", name: "Insert", weight_kg: null },
        ],
        empty: [],
      },
      comparison,
    });
  });
});

describe("jsonText", () => {
  test("reads back as the same value and holds no control character", () => {
    fc.assert(
      fc.property(
        fc.dictionary(fc.string({ unit: "binary" }), fc.string({ unit: "binary" }), {
          noNullPrototype: true,
        }),
        (value) => {
          const text = jsonText(value);
          expect(JSON.parse(text)).toEqual(value);
          expect(text.replaceAll("\n", "")).not.toMatch(/[\p{Cc}\u2028-\u202e\u2066-\u2069]/u);
        },
      ),
      { seed: 8259, numRuns: 1000 },
    );
    expect(jsonText({ a: "\u009b2J\u202e\u001b" })).toBe(
      '{\n  "a": "\\u009b2J\\u202e\\u001b"\n}\n',
    );
  });
});
