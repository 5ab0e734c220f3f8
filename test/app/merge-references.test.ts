// Whatever an entry names is named by its new number, in every type that names anything.
import { describe, expect, it } from "vitest";
import { movedEntry } from "../../src/app/merge-references.ts";
import { hostUs } from "../../src/domain/time.ts";
import { bodies, type Content, type EntryType } from "../../src/journal/content.ts";
import { type Entry, parseContent } from "../../src/journal/entry.ts";

/** Every entry of a day of 900 goes 1000 further on, to day 3. */
const move = { day: 2, seqOf: (seq: number) => (seq <= 900 ? seq + 1000 : undefined) };

function entry(content: Content, seq = 850): Entry {
  const stamp = { atUs: 5, monoUs: hostUs(3), host: "laptop-1", writer: "console-1", who: "me" };
  return { ...content, ...stamp, seq, version: 1 };
}

const moved = (content: Content, seq?: number): Content["body"] =>
  movedEntry(entry(content, seq), move).body;

const nothing = { rider: null, setup: null, unit: null };

/** One entry of each type that names a run, a passing or an entry, and what it then says. */
const NAMING: readonly (readonly [Content, object])[] = [
  [
    { type: "run-marked", body: { run: "812", mark: "void", sectors: [1], reason: "walker" } },
    { run: "1812" },
  ],
  [{ type: "setup-corrected", body: { run: "812.3", setup: "B" } }, { run: "1812.3" }],
  [{ type: "rider-corrected", body: { run: "812", rider: "R2" } }, { run: "1812" }],
  [{ type: "run-split", body: { run: "812" } }, { run: "1812" }],
  [{ type: "rating-given", body: { run: "812", aspect: "feel", score: 7 } }, { run: "1812" }],
  [
    { type: "incident-noted", body: { run: "812", sector: 2, kind: "dab", note: null } },
    { run: "1812" },
  ],
  [
    { type: "measure-taken", body: { ...nothing, run: "812", key: "rear_pressure_bar", value: 2 } },
    { run: "1812" },
  ],
  [{ type: "note-added", body: { run: "812", note: "see run 812" } }, { run: "1812" }],
  [
    { type: "passing-assigned", body: { passing: "hand:12", rider: null, run: "812" } },
    { passing: "hand:1012", run: "1812" },
  ],
  [
    { type: "passing-rejected", body: { passing: "S1:0012:143", reason: null } },
    { passing: "S1:0012:143@3" },
  ],
  [{ type: "passing-promoted", body: { passing: "hand:12" } }, { passing: "hand:1012" }],
  [
    { type: "runs-joined", body: { start: "hand:12", finish: "F1:0007:9" } },
    { start: "hand:1012", finish: "F1:0007:9@3" },
  ],
  [{ type: "entry-undone", body: { seq: 812 } }, { seq: 1812 }],
];

describe("an entry on its way into a merged session", () => {
  it.each(NAMING)("%j", (content, named) => {
    expect(moved(content)).toEqual({ ...content.body, ...named });
  });

  it("is known to name something in every type whose body says so", () => {
    const names = Object.keys(bodies).filter((type) =>
      Object.keys(bodies[type as EntryType].shape).some((key) =>
        ["run", "passing", "start", "finish", "seq", "entry"].includes(key),
      ),
    );
    expect(names.toSorted()).toEqual(NAMING.map(([{ type }]) => type).toSorted());
  });

  it("that names nothing says what it said", () => {
    const silent: readonly Content[] = [
      { type: "note-added", body: { run: null, note: "wind" } },
      { type: "incident-noted", body: { run: null, sector: null, kind: "dab", note: null } },
      { type: "measure-taken", body: { ...nothing, run: null, key: "air", value: 12 } },
      { type: "passing-assigned", body: { passing: null, rider: "R1", run: null } },
      { type: "condition-marked", body: { note: "hand:12", isStep: false } },
      { type: "session-closed", body: {} },
    ];
    for (const content of silent) expect(moved(content)).toEqual(content.body);
  });

  it("keeps its stamp and can be read again", () => {
    for (const [content] of NAMING) {
      const { type, body, ...stamp } = movedEntry(entry(content), move);
      expect(stamp).toMatchObject({ atUs: 5, monoUs: 3, host: "laptop-1", who: "me" });
      expect(parseContent(type, 1, JSON.parse(JSON.stringify(body)))).toMatchObject({ ok: true });
    }
  });

  it("that names what its day never had finds nothing among the other days", () => {
    for (const run of ["999", "812.x", "", "lost", "9".repeat(24)]) {
      const body = moved({ type: "run-split", body: { run } });
      expect(body).toEqual({ run: `lost ${run}`.slice(0, 24) });
    }
    for (const passing of ["hand:999", "S1:0012:143@2", "x".repeat(38)]) {
      const body = moved({ type: "passing-promoted", body: { passing } });
      expect(body).not.toEqual({ passing });
      expect(JSON.stringify(body)).toMatch(/"(lost |x{38}@3)/);
    }
    expect(moved({ type: "entry-undone", body: { seq: 999 } }, 850)).toEqual({ seq: 1850 });
  });
});
