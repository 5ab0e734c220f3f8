import { describe, expect, it } from "vitest";
import type { ComparisonInput } from "../../../src/domain/comparison.ts";
import { caughtRemarks } from "../../../src/summary/remarks/caught.ts";
import { type RunGiven, sessionOf } from "../../advisor/sessions.ts";
import { basisOfInput } from "./basis-of.ts";

function ride(rider: string, startedS: number, finishedS: number, more = {}): RunGiven {
  const minutes = { startedMin: startedS / 60, finishedMin: finishedS / 60 };
  return { rider, setup: "A", ...minutes, timeS: finishedS - startedS, ...more };
}

/** R1 at 0 s, R2 40 s later and 2 s behind at the finish; then R1 passed by R2. */
const RIDES = [
  ride("R1", 0, 130),
  ride("R2", 40, 132),
  ride("R1", 600, 735),
  ride("R2", 640, 730),
  ride("R1", 1200, 1330),
  ride("R2", 1240, 1360),
];

function texts(runs: readonly RunGiven[], given: Partial<ComparisonInput> = {}): readonly string[] {
  const input = sessionOf({ riders: [{ id: "R1" }, { id: "R2" }], runs });
  return caughtRemarks(basisOfInput({ ...input, ...given })).map((remark) => remark.text);
}

describe("a run that came up to another", () => {
  it("is asked about, the newest first", () => {
    expect(texts(RIDES)).toEqual([
      "run 2 of R2 finished 5 s before R1, who started 40 s earlier: held up? x strikes it out, else count it",
      "run 1 of R2 finished 2 s behind R1, who started 40 s earlier: held up? x strikes it out, else count it",
    ]);
    const [first] = caughtRemarks(
      basisOfInput(sessionOf({ riders: [{ id: "R1" }, { id: "R2" }], runs: RIDES })),
    );
    expect(first).toMatchObject({ level: "ask", kind: "caught-run", rider: "R2", run: "4" });
  });

  it("is not asked about once it was struck out, counted all the same, or told of", () => {
    const struck = RIDES.map((each, i) => (i === 1 ? { ...each, status: "void" as const } : each));
    expect(texts(struck)).toHaveLength(1);
    const input = sessionOf({ riders: [{ id: "R1" }, { id: "R2" }], runs: RIDES });
    const runs = input.runs.map((run) => ({ ...run, isMarkedOk: run.runId === "2" }));
    expect(texts(RIDES, { runs })).toHaveLength(1);
    const incident = { entrySeq: 9, runId: "4", sector: null, kind: "held-up", note: null };
    expect(texts(RIDES, { runs, incidents: [incident] })).toEqual([]);
  });

  it("is not found where times of day are missing, or nobody was near", () => {
    expect(texts(RIDES.slice(4))).toEqual([]);
    expect(texts(RIDES.map(({ rider, setup }) => ({ rider: rider ?? "", setup })))).toEqual([]);
  });
});
