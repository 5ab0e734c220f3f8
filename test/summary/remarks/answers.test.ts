// From the operator's keys to the remarks: a question is answered in the journal, and stays answered.
import { expect, it } from "vitest";
import type { Content } from "../../../src/journal/content.ts";
import { emptyFold, extendFold, sessionOf } from "../../../src/session/fold.ts";
import { summarise } from "../../../src/summary/summary.ts";
import { handGates, JournalWriter } from "../../session/a-journal.ts";

/** Twelve runs by hand on A and B in turn; the seventh, 9 s slower, opened by the seq given back. */
function ridden(): { readonly j: JournalWriter; readonly run: string } {
  const j = new JournalWriter().made(handGates);
  let run = "";
  for (let i = 0; i < 12; i += 1) {
    const at = 100 + 600 * i;
    const setup = i % 4 === 0 || i % 4 === 3 ? "A" : "B";
    const swap = { rider: "R1", setup, minutes: null, checked: true };
    j.write(at - 1, { type: "setup-swapped", body: swap });
    const seq = j.key(0, at);
    j.key(2, at + 120 + 0.2 * ((3 * i) % 4) + (i === 6 ? 9 : 0));
    if (i === 6) run = String(seq);
  }
  return { j, run };
}

const remarks = (j: JournalWriter, kind: string): readonly (string | null)[] =>
  summarise(sessionOf(extendFold(emptyFold(), j.entries)))
    .comparison.remarks.filter((remark) => remark.kind === kind)
    .map((remark) => remark.run);

it("a slow run is asked about until it is counted, noted on or struck out, and again after undo", () => {
  const asked = ridden();
  expect(remarks(asked.j, "slow-run")).toEqual([asked.run]);
  const mark = (m: "ok" | "void", reason: string | null): Content => ({
    type: "run-marked",
    body: { run: asked.run, mark: m, sectors: [], reason },
  });
  const answers: readonly Content[] = [
    mark("ok", null),
    mark("void", "crash"),
    { type: "incident-noted", body: { run: asked.run, sector: null, kind: "dab", note: null } },
  ];
  for (const answer of answers) {
    const { j } = ridden();
    const seq = j.write(9000, answer);
    expect(remarks(j, "slow-run")).toEqual([]);
    j.write(9001, { type: "entry-undone", body: { seq } });
    expect(remarks(j, "slow-run")).toEqual([asked.run]);
  }
});

it("a crash that struck a run out is a mistake of its set-up, and no longer once it is undone", () => {
  const { j, run } = ridden();
  const body = { run, mark: "void" as const, sectors: [], reason: "crash" };
  const seq = j.write(9000, { type: "run-marked", body });
  expect(remarks(j, "mistakes")).toHaveLength(1);
  j.write(9001, { type: "entry-undone", body: { seq } });
  expect(remarks(j, "mistakes")).toEqual([]);
});
