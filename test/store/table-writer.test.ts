// Whatever was written before: each table holds exactly the rows handed in.
import Database from "better-sqlite3";
import fc from "fast-check";
import { expect, onTestFinished, test } from "vitest";
import type { Row, Table } from "../../src/domain/table.ts";
import { TableWriter } from "../../src/store/table-writer.ts";

const cell = fc.constantFrom("A", "B", null);
/** Few keys, so that rows come back, change, move and go. */
const rows: fc.Arbitrary<readonly Row[]> = fc.uniqueArray(
  fc.record({ run: fc.constantFrom("1", "2", "12"), sector: fc.nat(3), note: cell, time_s: cell }),
  { selector: (row) => `${row.run} ${String(row.sector)}`, maxLength: 12 },
);

function tableOf(of: readonly Row[]): Table {
  return {
    name: "sector time",
    key: ["run", "sector"],
    columns: [
      { name: "note", type: "TEXT" },
      { name: "run", type: "TEXT" },
      { name: "sector", type: "INTEGER" },
      { name: "time_s", type: "TEXT" },
    ],
    rows: of,
  };
}

function sorted(of: readonly Row[]): readonly Row[] {
  const key = (row: Row): string => `${String(row["run"])} ${String(row["sector"])}`;
  return of.toSorted((a, b) => (key(a) < key(b) ? -1 : 1));
}

test("after any writes a table holds exactly the rows of the last one", () => {
  fc.assert(
    fc.property(fc.array(rows, { minLength: 1, maxLength: 6 }), (writes) => {
      const db = new Database(":memory:");
      const writer = new TableWriter(db);
      for (const of of writes) {
        writer.write([tableOf(of)]);
        expect(sorted(writer.read(tableOf([])) ?? [])).toEqual(sorted(of));
      }
      db.close();
    }),
    { seed: 20260509, numRuns: 300 },
  );
});

test("a row that only moved is not written again", () => {
  const db = new Database(":memory:");
  onTestFinished(() => {
    db.close();
  });
  const writer = new TableWriter(db);
  const of = ["1", "2", "12"].map((run) => ({ note: null, run, sector: 1, time_s: "A" }));
  const [first, ...others] = of;
  writer.write([tableOf(of)]);
  const before = db.prepare("SELECT total_changes()").pluck().get();
  writer.write([tableOf([...others, ...(first === undefined ? [] : [first])])]);
  expect(db.prepare("SELECT total_changes()").pluck().get()).toBe(before);
});
