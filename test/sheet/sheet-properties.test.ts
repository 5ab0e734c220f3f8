// What holds for any sheet and any text: writing and reading back, and nothing but a UserError.
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import { NO_HOURS } from "../../src/domain/day-hours.ts";
import { UserError } from "../../src/domain/errors.ts";
import type { Gate, Sheet } from "../../src/domain/session.ts";
import { readSheet } from "../../src/sheet/session-sheet.ts";
import { writeSheet } from "../../src/sheet/sheet-writer.ts";
import { readTimes } from "../../src/sheet/times-csv.ts";

const others = { zone: "Asia/Tokyo", date: "1999-01-01", seed: 999 };

const name = fc
  .oneof(
    fc.constantFrom("=1+1", "<script>", '"', "\\", "'''", "# x", "[a]", "\u05d0", "\ud83d\udeb5"),
    fc.string({ unit: "grapheme", minLength: 1, maxLength: 30 }),
  )
  .filter(
    (s) =>
      s.trim() !== "" &&
      s !== "__proto__" &&
      !/[\p{Cc}\u2028\u2029\u202a-\u202e\u2066-\u2069\ufffd]/u.test(s),
  );
const id = fc.stringMatching(/^[A-Za-z0-9_-]{1,16}$/).filter((s) => s !== "__proto__");
const above0 = fc.double({ min: 1e-3, max: 10_000, noNaN: true });
const maybe = <T>(arbitrary: fc.Arbitrary<T>) => fc.option(arbitrary, { nil: null });

const settings = fc
  .record({
    name,
    date: fc.date({
      min: new Date("2000-01-01"),
      max: new Date("2100-01-01"),
      noInvalidDate: true,
    }),
    zone: fc.constantFrom("Europe/Vienna", "UTC", "America/Argentina/Buenos_Aires"),
    stretch: name,
    expectedRunS: maybe(above0),
    lengthM: maybe(fc.integer({ min: 1000, max: 9000 })),
    dropM: maybe(fc.integer({ min: -900, max: 900 })),
    marginS: maybe(above0),
    plannedRuns: maybe(fc.integer({ min: 1, max: 1000 })),
    days: fc.constant(1),
    mainSetup: fc.constant(null),
    minutes: maybe(above0),
    lapMinutes: maybe(above0),
    spread: maybe(fc.tuple(above0, maybe(above0))),
    start: maybe(name),
    aspects: fc.subarray(["grip", "comfort", "brake feel", "line 2"]),
    drift: fc.constantFrom("none" as const, "linear" as const, "learning" as const),
    isOpen: fc.boolean(),
    spreads: fc.constantFrom("each" as const, "common" as const),
    confidence: fc.double({ min: 0.9, max: 0.999, noNaN: true }),
    seed: fc.maxSafeNat(),
    travelMinS: fc.double({ min: 0.1, max: 100, noNaN: true }),
    travelMaxS: fc.double({ min: 101, max: 9000, noNaN: true }),
  })
  .map(({ date, isOpen, spread, ...rest }) => ({
    ...rest,
    spreadS: spread?.[0] ?? null,
    spreadDf: spread?.[1] ?? null,
    date: date.toISOString().slice(0, 10),
    bands: isOpen || rest.plannedRuns === null ? ("open" as const) : ("plan" as const),
  }));

const gates = fc
  .array(fc.record({ hasBox: fc.boolean(), sector: maybe(name), terrain: maybe(name) }), {
    minLength: 2,
    maxLength: 6,
  })
  .map((drawn) =>
    drawn.map(({ hasBox, sector, terrain }, i): Gate => {
      const role = i === 0 ? "start" : i === drawn.length - 1 ? "finish" : "split";
      const box = hasBox ? `B${String(i)}` : null;
      return i === 0 ? { role, box, sector: null, terrain: null } : { role, box, sector, terrain };
    }),
  );

const values = fc.dictionary(
  fc.oneof(id, name),
  fc.oneof(
    name,
    fc.boolean(),
    fc.integer(),
    fc.double({ min: -1e9, max: 1e9, noNaN: true }).map((x) => x + 0),
  ),
  { maxKeys: 4, noNullPrototype: true },
);

const timeOfDay = (from: number) =>
  fc
    .tuple(fc.integer({ min: from, max: from + 5 }), fc.integer({ min: 0, max: 59 }))
    .map(([h, m]) => `${String(h).padStart(2, "0")}:${String(m).padStart(2, "0")}`);

const atLeast0 = fc.double({ min: 0, max: 500, noNaN: true }).map((x) => x + 0);

const breaks = fc.array(
  fc
    .record({
      afterRun: maybe(fc.integer({ min: 1, max: 1000 })),
      time: timeOfDay(8),
      minutes: above0,
      name: maybe(name),
    })
    .map(({ afterRun, time, ...rest }) => ({
      ...rest,
      afterRun,
      at: afterRun === null ? time : null,
    })),
  { maxLength: 2 },
);

const hours: fc.Arbitrary<Sheet["hours"]> = fc.oneof(
  fc.constant(NO_HOURS),
  fc.record({
    arriveAt: timeOfDay(2),
    gatesMinutes: maybe(atLeast0),
    packMinutes: maybe(atLeast0),
    lightUntil: maybe(timeOfDay(14)),
    breaks,
    mostRunsHalfDay: maybe(fc.integer({ min: 1, max: 100 })),
    restMinutes: maybe(atLeast0),
  }),
);

const standards = fc.record({ axle: maybe(name), rotor: maybe(name), freehub: maybe(name) });

const gearOf = (setups: readonly string[]): fc.Arbitrary<Sheet["gear"]> =>
  fc.record({
    bikes: fc
      .array(fc.record({ name, size: maybe(name), standards }), { maxLength: 2 })
      .map((all) => all.map((bike, i) => ({ ...bike, id: `bike-${String(i)}`, riders: null }))),
    parts: fc
      .array(
        fc.record({
          name,
          kind: name,
          setups: fc.subarray([...setups], { minLength: 1 }),
          tag: maybe(fc.stringMatching(/^[0-9A-Z]{1,8}$/)),
          standards,
        }),
        { maxLength: 2 },
      )
      .map((all) => all.map((part, i) => ({ ...part, id: `part-${String(i)}` }))),
    mechanics: maybe(fc.integer({ min: 1, max: 100 })),
  });

const sheets: fc.Arbitrary<Sheet> = fc
  .uniqueArray(id, { minLength: 2, maxLength: 5 })
  .chain((ids) =>
    fc.record({
      settings,
      gates,
      riders: fc.uniqueArray(
        fc.record({
          id,
          name,
          tag: fc.constant(null),
          newTo: fc.subarray(ids),
          setups: maybe(fc.subarray(ids)),
          plannedRuns: maybe(fc.integer({ min: 1, max: 1000 })),
        }),
        { minLength: 1, maxLength: 3, selector: (r) => r.id },
      ),
      setups: fc
        .tuple(
          fc.nat(ids.length - 1),
          fc.array(fc.tuple(name, values), { minLength: ids.length, maxLength: ids.length }),
        )
        .map(([baseline, drawn]) =>
          drawn.map(([setupName, setupValues], i) => ({
            id: ids[i] ?? "",
            name: setupName,
            baseline: i === baseline,
            values: setupValues,
            worthS: i === baseline ? null : 0.25 * (i + 1),
            price: i === 1 ? null : 40.5 * i,
            weightKg: i === 0 ? null : 13.5,
          })),
        ),
      swaps: fc.uniqueArray(
        fc
          .record({
            from: fc.constantFrom(...ids),
            to: fc.constantFrom(...ids),
            minutes: fc.double({ min: 0, max: 100, noNaN: true }),
            place: maybe(name),
          })
          .filter((s) => s.from !== s.to),
        { maxLength: 3, selector: (s) => `${s.from} ${s.to}` },
      ),
      hours,
      gear: gearOf(ids),
      explored: fc.constant(null),
      lines: fc.constant([]),
    }),
  );

describe("writeSheet", () => {
  test("what is written reads back as the same sheet, whatever the defaults", () => {
    fc.assert(
      fc.property(sheets, (sheet) => {
        expect(readSheet(writeSheet(sheet), "x.toml", others)).toEqual(sheet);
      }),
      { seed: 2, numRuns: 300 },
    );
  });

  test("a transponder is written too, and what has no value is left out", () => {
    const sheet = readSheet(
      '[session]\nname = "x"\n[[riders]]\nid = "R1"\ntag = "A1B2"\n[[setups]]\nid = "A"\n[[setups]]\nid = "B"\n',
      "x.toml",
      others,
    );
    expect(writeSheet(sheet)).toBe(`[session]
name = "x"
date = 1999-01-01
zone = "Asia/Tokyo"
stretch = "x"
drift = "linear"
bands = "open"
spreads = "each"
confidence = 0.95
seed = 999
travel_min_s = 10
travel_max_s = 1800

[[gates]]
role = "start"

[[gates]]
role = "finish"

[[riders]]
id = "R1"
name = "R1"
tag = "A1B2"

[[setups]]
id = "A"
name = "A"
baseline = true

[[setups]]
id = "B"
name = "B"
`);
  });
});

/** True if the call gives a value or a UserError; anything else thrown passes through. */
function isCivil(call: () => unknown): boolean {
  try {
    call();
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
    expect(error.message.replaceAll("\n", "")).not.toMatch(/[\p{Cc}\u202a-\u202e]/u);
  }
  return true;
}

describe("any text", () => {
  const lines = fc
    .array(
      fc.oneof(
        fc.constantFrom(
          "[session]",
          "[[gates]]",
          "[[riders]]",
          "[[setups]]",
          "[setups.values]",
          "[[swaps]]",
          'name = "x"',
          'id = "A"',
          'id = "B"',
          'from = "B"',
          'to = "A"',
          "minutes = 3",
          'role = "start"',
          'role = "finish"',
          "baseline = true",
          "__proto__ = 1",
          "[__proto__]",
          "constructor = 1",
          'new_to = ["A"]',
          "values = { x = 1 }",
          "setups = [1]",
          "session = 3",
        ),
        fc
          .tuple(
            fc.constantFrom("name", "date", "zone", "seed", "tag", "box", "values", "minutes"),
            fc.constantFrom(
              "1",
              "-0",
              "nan",
              "[]",
              "{}",
              '""',
              '"\\u001b"',
              "2026-02-31",
              "12:00:00",
              "1e300",
              "true",
              "[[[]]]",
              "{ a.b = 1 }",
            ),
          )
          .map(([k, v]) => `${k} = ${v}`),
        fc.string({ unit: "binary", maxLength: 10 }),
      ),
      { maxLength: 25 },
    )
    .map((l) => l.join("\n"));

  test("as a sheet gives a sheet or a UserError without control characters", () => {
    fc.assert(
      fc.property(fc.oneof(lines, fc.string({ unit: "binary" })), (text) =>
        isCivil(() => readSheet(text, "x.toml", others)),
      ),
      { seed: 5, numRuns: 3000 },
    );
  });

  test("as times gives rows or a UserError without control characters", () => {
    const cell = fc.oneof(
      fc.constantFrom(
        "A",
        "B",
        "ok",
        "dnf",
        "void",
        "1.5",
        "2:10.1",
        "",
        '"',
        '"a\nb"',
        "x,y",
        "setup",
        "time_s",
        "rider",
        "sector_1_s",
        "started_at",
        "2026-05-09T10:00:00Z",
      ),
      fc.string({ unit: "binary", maxLength: 6 }),
    );
    const table = fc
      .tuple(
        fc.constantFrom(
          "setup,time_s",
          "setup;time_s;status",
          "time_s,setup,reason,started_at",
          "\ufeffsetup,time_s,sector_1_s",
        ),
        fc.array(fc.array(cell, { maxLength: 5 }), { maxLength: 6 }),
        fc.constantFrom(",", ";"),
        fc.constantFrom("\n", "\r\n", "\r"),
      )
      .map(([header, rows, separator, end]) =>
        [header, ...rows.map((r) => r.join(separator))].join(end),
      );
    const of = { riders: [{ id: "R1" }], setups: [{ id: "A" }, { id: "B" }], sectors: ["all"] };
    fc.assert(
      fc.property(fc.oneof(table, fc.string({ unit: "binary" })), (text) =>
        isCivil(() => readTimes(text, "x.csv", of)),
      ),
      { seed: 6, numRuns: 3000 },
    );
  });

  test("nested as deep as it will go is refused, not fatal", () => {
    expect(isCivil(() => readSheet(`a = ${"[".repeat(50_000)}`, "x.toml", others))).toBe(true);
    const deep = `a = ${"[".repeat(900)}${"]".repeat(900)}`;
    expect(isCivil(() => readSheet(deep, "x.toml", others))).toBe(true);
    expect(isCivil(() => readSheet(`${"a.".repeat(20_000)}a = 1`, "x.toml", others))).toBe(true);
  });
});
