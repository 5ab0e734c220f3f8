// Remarks about what is known beside the times: entry speeds, parts read, blocks, timing by hand.
import { describe, expect, it } from "vitest";
import type { ComparisonInput } from "../../../src/domain/comparison.ts";
import type { DayFacts } from "../../../src/domain/day-facts.ts";
import type { Remark } from "../../../src/domain/remark.ts";
import type { Run } from "../../../src/domain/run.ts";
import { remarksOn } from "../../../src/summary/remarks/remarks.ts";
import { setupConfirmation } from "../../../src/summary/tags-on-parts.ts";
import type { MadeSession } from "../../stats/made-session.ts";
import { madeSession, normals } from "../../stats/made-session.ts";
import { basisOfInput } from "./basis-of.ts";

const NOTHING: DayFacts = { entries: [], partReads: [], blocks: [] };

function remarksWith(
  made: ComparisonInput,
  facts: Partial<DayFacts>,
  kind: string,
): readonly Remark[] {
  const input = { ...made, facts: { ...NOTHING, ...facts } };
  return remarksOn({ ...basisOfInput(input), input }).filter((remark) => remark.kind === kind);
}

const textsOf = (remarks: readonly Remark[]) => remarks.map(({ text }) => text);

/** Runs ABBA ABBA ... of these times. */
const alternating = (times: readonly number[], more: Omit<MadeSession, "runs"> = {}) =>
  madeSession({
    ...more,
    runs: times.map((timeS, i) => ({ setup: "ABBA"[i % 4] ?? "A", timeS })),
  });

const STEADY = [60, 60.4, 59.8, 60.2, 60.1, 59.9, 60.3, 60];

describe("entry speeds", () => {
  const entriesOf = (speeds: readonly number[]): Partial<DayFacts> => ({
    entries: speeds.map((speedMS, i) => ({ runId: String(i + 1), speedMS })),
  });
  const odd = entriesOf([7.2, 7.4, 6.9, 7.3, 7.1, 7.5, 6.1, 7.2]);

  it("ask about the run that was entered otherwise, with what it may be worth", () => {
    const [remark, ...more] = remarksWith(alternating(STEADY), odd, "entry-speed");
    expect(more).toEqual([]);
    expect(remark).toMatchObject({ level: "ask", rider: "R1", run: "7" });
    expect(remark?.text).toBe(
      "run 7 entered at 6.1 m/s, the others at 7.2 m/s (+-0.2), worth about 0.3 to 0.6 s if it fades over 2 to 4 s: was the start not the same? strike it out only for a cause seen or told; times are never corrected",
    );
  });

  it("name the start that was agreed on, and are answered by counting the run", () => {
    const rolling = alternating(STEADY, { settings: { start: "rolling from the second tree" } });
    expect(textsOf(remarksWith(rolling, odd, "entry-speed"))[0]).toContain(
      "not the same (start: rolling from the second tree)?",
    );
    const runs = rolling.runs.map((run) => ({ ...run, isMarkedOk: run.runId === "7" }));
    expect(remarksWith({ ...rolling, runs }, odd, "entry-speed")).toEqual([]);
    expect(remarksWith(rolling, {}, "entry-speed")).toEqual([]);
  });

  it("warn where set-ups were entered at different ones", () => {
    const facts = entriesOf([7, 7.6, 7.5, 7.1, 6.9, 7.7, 7.6, 7]);
    const [remark, ...more] = remarksWith(alternating(STEADY), facts, "unequal-entry");
    expect(more).toEqual([]);
    expect(remark).toMatchObject({ level: "warn", rider: "R1", setup: "B", run: null });
    expect(remark?.text).toBe(
      "B was entered at 7.6 m/s on average, A at 7.0, worth about 0.2 to 0.3 s if it fades over 2 to 4 s: start the same way on each, or the times compare the starts too",
    );
  });

  it("from standing are worth no figure", () => {
    const facts = entriesOf([2, 2.6, 2.5, 2.1, 1.9, 2.7, 2.6, 2]);
    expect(textsOf(remarksWith(alternating(STEADY), facts, "unequal-entry"))).toEqual([
      "B was entered at 2.6 m/s on average, A at 2.0: start the same way on each, or the times compare the starts too",
    ]);
  });
});

describe("a part of another set-up read at the start", () => {
  const made = alternating(STEADY);
  const reads = (...parts: readonly (readonly [string, string[]])[]): Partial<DayFacts> => ({
    partReads: parts.map(([part, setups]) => ({ runId: "4", part, setups })),
  });
  const wrong = reads(["wheels-2", ["B"]]);

  it("is asked about, with the right part where that was read too", () => {
    const [remark, ...more] = remarksWith(made, wrong, "part-tag");
    expect(more).toEqual([]);
    expect(remark).toMatchObject({ level: "ask", run: "4", setup: "A" });
    expect(remark?.text).toBe(
      "run 4: wheels-2 was read at the start, but A is entered: correct the set-up (b) or confirm it",
    );
    const both = reads(["wheels-2", ["B"]], ["wheels-1", ["A", "C"]]);
    expect(textsOf(remarksWith(made, both, "part-tag"))[0]).toContain(
      "wheels-2 was read at the start, and wheels-1 too, but A",
    );
    expect(remarksWith(made, reads(["wheels-1", ["A"]]), "part-tag")).toEqual([]);
  });

  it("is settled by correcting or confirming the set-up, not by confirming another", () => {
    const corrected = made.runs.map((run) => (run.runId === "4" ? { ...run, setup: "B" } : run));
    expect(remarksWith({ ...made, runs: corrected }, wrong, "part-tag")).toEqual([]);
    const said = (run: Run | undefined): ComparisonInput => {
      if (run === undefined) throw new TypeError("the run is there");
      const { run: runId, ...measure } = setupConfirmation(run);
      return { ...made, measures: [{ at: 0 as Run["startedAt"] & number, runId, ...measure }] };
    };
    expect(remarksWith(said(made.runs[3]), wrong, "part-tag")).toEqual([]);
    expect(remarksWith(said(corrected[3]), wrong, "part-tag")).toHaveLength(1);
    expect(remarksWith(said(made.runs[2]), wrong, "part-tag")).toHaveLength(1);
  });

  it("is not asked about of runs that do not count", () => {
    const off = made.runs.map((run) => ({ ...run, status: "void" as const }));
    expect(remarksWith({ ...made, runs: off }, wrong, "part-tag")).toEqual([]);
    const warm = made.runs.map((run) => ({ ...run, k: null, status: "warm-up" as const }));
    expect(remarksWith({ ...made, runs: warm }, wrong, "part-tag")).toEqual([]);
  });
});

describe("both parts of a day", () => {
  const blocks = (text: string, from: number, of: number, day = 0): DayFacts["blocks"] => [
    { day, opened: null, runs: Array.from({ length: from }, (_, i) => String(i + 1)) },
    {
      day,
      opened: { kind: "conditions", text },
      runs: Array.from({ length: of - from }, (_, i) => String(from + i + 1)),
    },
  ];
  /** Eight runs dry, eight wet: B so much quicker in each, and the scatter of a seeded day. */
  const day = (dryS: number, wetS: number) => {
    const normal = normals(4);
    return alternating(
      Array.from({ length: 16 }, (_, i) => {
        const gain = i < 8 ? dryS : wetS;
        const onB = "ABBA"[i % 4] === "B" ? gain : 0;
        return 60 + (i < 8 ? 0 : 3) - onB + 0.2 * normal();
      }),
    );
  };
  const rain = { blocks: blocks("rain", 8, 16) };

  it("are answered each by its own runs, and said to agree", () => {
    const [remark, ...more] = remarksWith(day(1.9, 1.9), rain, "conditions-blocks");
    expect(more).toEqual([]);
    expect(remark).toMatchObject({ level: "note", rider: "R1", setup: "B" });
    expect(remark?.text).toMatch(
      /^before the mark "rain": B quicker by (1\.[6-9]|2\.[0-3]) s \(between -\d\.\d and -\d\.\d\); after the mark "rain": B quicker by (1\.[6-9]|2\.[0-3]) s \(between -\d\.\d and -\d\.\d\): they agree as far as these runs can tell; each for orientation, by its own runs alone$/,
    );
  });

  it("are said not to agree where the rain turned the answer round", () => {
    const [text] = textsOf(remarksWith(day(1.9, -1.9), rain, "conditions-blocks"));
    expect(text).toMatch(
      /before .* B quicker by .* after .* B slower by .*: they do not agree as far as these runs can tell;/,
    );
  });

  it("are not looked at with a single run of a set-up in one, or nothing marked", () => {
    const made = day(1.9, 1.9);
    expect(remarksWith(made, { blocks: blocks("rain", 3, 16) }, "conditions-blocks")).toEqual([]);
    expect(remarksWith(made, { blocks: blocks("rain", 16, 16) }, "conditions-blocks")).toEqual([]);
    expect(remarksWith(made, {}, "conditions-blocks")).toEqual([]);
  });

  it("with two runs each have no band, and say so", () => {
    const texts = textsOf(
      remarksWith(alternating(STEADY), { blocks: blocks("", 4, 8) }, "conditions-blocks"),
    );
    expect(texts).toHaveLength(1);
    expect(texts[0]).toMatch(
      /^before the mark: B .* \((too few runs for more|between .*)\); after/,
    );
  });

  it("of several riders are answered together, whatever one of them has ridden in one part", () => {
    const normal = normals(9);
    const made = madeSession({
      riders: ["R1", "R2", "R3"],
      runs: Array.from({ length: 24 }, (_, i) => {
        const setup = "ABBA"[Math.floor(i / 3) % 4] ?? "A";
        const timeS = 60 - (setup === "B" ? 1.5 : 0) + 0.2 * normal();
        return { setup, timeS, rider: `R${String((i % 3) + 1)}` };
      }),
    });
    const [remark, ...more] = remarksWith(
      made,
      { blocks: blocks("rain", 12, 24) },
      "conditions-blocks",
    );
    expect(more).toEqual([]);
    expect(remark).toMatchObject({ rider: null, level: "note" });
    expect(remark?.text).toMatch(/they agree as far/);
  });
});

describe("runs timed by hand", () => {
  const timed = (hand: readonly number[], of: number, by: Partial<Run>): ComparisonInput => {
    const made = alternating(Array.from({ length: of }, (_, i) => 60 + (i % 3)));
    const runs = made.runs.map((run, i) => ({
      ...run,
      timedBy: "beam" as const,
      ...(hand.includes(i + 1) ? by : {}),
    }));
    return { ...made, runs };
  };

  it("that are nearly all of one set-up are warned of", () => {
    const byHand = timed([2, 3, 6], 12, { timedBy: "hand" });
    const [remark, ...more] = remarksWith(byHand, {}, "hand-timed");
    expect(more).toEqual([]);
    expect(remark).toMatchObject({ level: "warn", setup: "B", run: null });
    expect(remark?.text).toBe(
      "3 of 6 runs on B were timed by hand, none of 6 on A: a press is good to 0.2 s and may lean to one side, so time both alike",
    );
  });

  it("are told by an imported time's uncertainty, and pass where they are even", () => {
    const imported = { timedBy: "import" as const, uncertaintyS: 0.35 };
    expect(remarksWith(timed([2, 3, 6], 12, imported), {}, "hand-timed")).toHaveLength(1);
    const exact = { ...imported, uncertaintyS: 0.001 };
    expect(remarksWith(timed([2, 3, 6], 12, exact), {}, "hand-timed")).toEqual([]);
    const even = timed([1, 2, 3, 4], 12, { timedBy: "hand" });
    expect(remarksWith(even, {}, "hand-timed")).toEqual([]);
  });
});
