// Every row of the matching rules, by name.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { sessionUs } from "../../src/domain/time.ts";
import type { Detection } from "../../src/match/detection.ts";
import { at, match, states, tag, told, undecided } from "./some-detections.ts";

const two = { riders: ["R1", "R2"] };
const s = (seconds: number) => sessionUs(seconds * 1e6);

describe("one rider, no tags", () => {
  it("start, split and finish make a run", () => {
    const seen = [at(0, 10), at(1, 60), at(2, 130)];
    expect(told(seen)).toEqual([["R1", 10, 60, 130]]);
    expect(states(seen)).toEqual(["matched", "matched", "matched"]);
  });

  it("the finish takes the latest open start that is plausible", () => {
    const seen = [at(0, 10), at(0, 150), at(2, 270)];
    expect(told(seen)).toEqual([
      ["R1", 10, null, null],
      ["R1", 150, null, 270],
    ]);
  });

  it("a start less than the least travel time before a later one is a false start", () => {
    const seen = [at(0, 10), at(0, 40), at(2, 170)];
    expect(told(seen)).toEqual([["R1", 40, null, 170]]);
    expect(states(seen)[0]).toBe("false-start");
  });

  it("several starts close together, none finished: the last counts", () => {
    expect(told([at(0, 10), at(0, 30), at(0, 50), at(0, 70)])).toEqual([["R1", 70, null, null]]);
  });

  it("any other earlier start stays on course, shown DNF?", () => {
    const [first, second] = match([at(0, 10), at(0, 200)]).runs;
    expect(first).toMatchObject({ isFinished: false, isDoubtful: true });
    expect(first?.flags).toEqual(["DNF? started again"]);
    expect(second).toMatchObject({ isFinished: false, isDoubtful: false, flags: [] });
  });

  it("a start that is out longer than a run can take is shown DNF?", () => {
    expect(match([at(0, 10)], { now: s(399) }).runs[0]?.isDoubtful).toBe(false);
    expect(match([at(0, 10)], { now: s(401) }).runs[0]?.isDoubtful).toBe(true);
  });

  it("once the later start has finished, the earlier one takes no finish any more", () => {
    const seen = [at(0, 10), at(0, 100), at(2, 220), at(2, 300)];
    expect(told(seen)).toEqual([
      ["R1", 10, null, null],
      ["R1", 100, null, 220],
    ]);
    expect(states(seen)[3]).toBe("orphan");
  });

  it("a finish too soon after the start is an orphan, and the rider stays on course", () => {
    const seen = [at(0, 10), at(2, 40), at(2, 130)];
    expect(told(seen)).toEqual([["R1", 10, null, 130]]);
    expect(states(seen)[1]).toBe("orphan");
  });
});

describe("limits", () => {
  const runs = (n: number) =>
    Array.from({ length: n }, (_, i) => [at(0, 1000 * i), at(2, 1000 * i + 100 + i)]).flat();

  it("after three finished runs: half the best and three times the median", () => {
    // Best 100, median 101: 50 to 303 s.
    for (const [travelS, isRun] of [
      [49, false],
      [51, true],
      [302, true],
      [304, false],
    ] as const) {
      const seen = [...runs(3), at(0, 5000), at(2, 5000 + travelS)];
      expect(match(seen).runs[3]?.isFinished, String(travelS)).toBe(isRun);
    }
  });

  it("until three have finished the sheet's hold", () => {
    const seen = [...runs(2), at(0, 5000), at(2, 5000 + 389)];
    expect(match(seen).runs[2]?.isFinished).toBe(true);
  });

  it("a later run never moves the limits of an earlier start", () => {
    // With the quick run before it 61 s would be plausible; it only comes after.
    const before = [at(0, 0), at(2, 61)];
    const later = [at(0, 1000), at(2, 1070), at(0, 2000), at(2, 2070), at(0, 3000), at(2, 3070)];
    expect(match(before).runs[0]?.isFinished).toBe(false);
    expect(match([...before, ...later]).runs[0]?.isFinished).toBe(false);
  });
});

describe("several on course, no tags", () => {
  it("far apart: first in, first out, and sure", () => {
    const seen = [at(0, 0), at(2, 100), at(0, 200), at(2, 310)];
    expect(told(seen, two)).toEqual([
      ["R1", 0, null, 100],
      ["R2", 200, null, 310],
    ]);
    expect(match(seen, two).runs.some((r) => r.isAmbiguous)).toBe(false);
  });

  it("overtaking possible: paired first in first out, both doubtful", () => {
    const seen = [at(0, 0), at(0, 30), at(1, 50), at(1, 75), at(2, 110), at(2, 130)];
    expect(told(seen, two)).toEqual([
      ["R1", 0, 50, 110],
      ["R2", 30, 75, 130],
    ]);
    const { runs } = match(seen, two);
    expect(runs.map((r) => r.isAmbiguous)).toEqual([true, true]);
    expect(runs[0]?.flags).toContain("two starts possible");
  });

  it("overtaking impossible: the later start is too short ago", () => {
    const seen = [at(0, 0), at(0, 60), at(2, 110), at(2, 180)];
    expect(match(seen, two).runs.map((r) => r.isAmbiguous)).toEqual([false, false]);
  });

  it("the operator names the first finish: both are sure", () => {
    const named = at(2, 110, { assigned: { rider: "R2", at: s(300) } });
    const seen = [at(0, 0), at(0, 30), named, at(2, 130)];
    expect(told(seen, two)).toEqual([
      ["R1", 0, null, 130],
      ["R2", 30, null, 110],
    ]);
    expect(match(seen, two).runs.map((r) => r.isAmbiguous)).toEqual([false, false]);
  });

  it("the operator names the second finish: the first was the other's", () => {
    const named = at(2, 130, { assigned: { rider: "R1", at: s(300) } });
    const seen = [at(0, 0), at(0, 30), at(2, 110), named];
    expect(told(seen, two)).toEqual([
      ["R1", 0, null, 130],
      ["R2", 30, null, 110],
    ]);
    expect(match(seen, two).runs.map((r) => r.isAmbiguous)).toEqual([false, false]);
  });

  it("a start marked DNF takes no finish after that", () => {
    const seen = [at(0, 0), at(2, 130)];
    const offCourse = new Map([[String(seen[0]?.entrySeq), s(100)]]);
    expect(states(seen, { decisions: { ...undecided, offCourse } })).toEqual(["matched", "orphan"]);
  });
});

describe("whose start is it", () => {
  const run = (start: number) => [at(0, start), at(2, start + 100)];

  it("the rider with the fewest starts, then the longest waiting, then sheet order", () => {
    const three = { riders: ["R1", "R2", "R3"] };
    const seen = [run(0), run(200), run(400), run(600)].flat();
    expect(told(seen, three).map((r) => r[0])).toEqual(["R1", "R2", "R3", "R1"]);
    expect(match(seen, three).nextStarter).toBe("R2");
  });

  it("a rider on course is not the next to start", () => {
    const seen = [...run(0), ...run(200), at(0, 400), at(0, 440)];
    expect(told(seen, two).map((r) => r[0])).toEqual(["R1", "R2", "R1", "R2"]);
  });

  it("the operator's next start, if given since the last start", () => {
    const nextStarters = [{ rider: "R2", at: s(50) }];
    const decisions = { ...undecided, nextStarters };
    const seen = [...run(100), ...run(300)];
    expect(told(seen, { ...two, decisions }).map((r) => r[0])).toEqual(["R2", "R1"]);
  });

  it("a later correction names that start and rewrites no other", () => {
    const seen = [run(0), run(200), run(400)].flat();
    const first = String(seen[0]?.entrySeq);
    const corrections = new Map([[first, [{ rider: "R2", at: s(900) }]]]);
    const decisions = { ...undecided, riderCorrections: corrections };
    expect(told(seen, { ...two, decisions }).map((r) => r[0])).toEqual(["R2", "R2", "R1"]);
    // Known before the second start it counts for that one's guess.
    const early = new Map([[first, [{ rider: "R2", at: s(150) }]]]);
    const then = { ...undecided, riderCorrections: early };
    expect(told(seen, { ...two, decisions: then }).map((r) => r[0])).toEqual(["R2", "R1", "R2"]);
  });

  it("a start struck out later rewrites no later guess", () => {
    const walker = at(0, 200, { rejectedAt: s(900) });
    const seen = [...run(0), walker, ...run(600), ...run(800)];
    const late = told(seen, two).map((r) => r[0]);
    const open = { ...walker, rejectedAt: null };
    const never = told([...run(0), open, ...run(600), ...run(800)], two).map((r) => r[0]);
    expect(never).toEqual(["R1", "R2", "R1", "R2"]);
    expect(late).toEqual(["R1", "R1", "R2"]);
    const early = [...run(0), { ...walker, rejectedAt: s(210) }, ...run(600), ...run(800)];
    expect(told(early, two).map((r) => r[0])).toEqual(["R1", "R2", "R1"]);
  });
});

describe("tags", () => {
  it("a tag at both gates wins over first in, first out", () => {
    const seen = [at(0, 0), tag(0, 0.4, "R1"), at(0, 30), tag(0, 30.4, "R2")];
    seen.push(at(2, 110), tag(2, 110.3, "R2"), at(2, 130), tag(2, 129.5, "R1"));
    expect(told(seen, two)).toEqual([
      ["R1", 0, null, 130],
      ["R2", 30, null, 110],
    ]);
    expect(match(seen, two).runs.some((r) => r.isAmbiguous)).toBe(false);
  });

  it("within 2 s of a beam the beam gives the time and the tag the name", () => {
    const seen = [at(0, 10), tag(0, 11.9, "R2"), at(2, 120)];
    expect(told(seen, two)).toEqual([["R2", 10, null, 120]]);
    expect(states(seen, two)[1]).toBe("double");
  });

  it("a tag without a beam is a passing by itself", () => {
    const seen = [tag(0, 10, "R2"), at(2, 120)];
    expect(told(seen, two)).toEqual([["R2", 10, null, 120]]);
    expect(states(seen, two)).toEqual(["matched", "matched"]);
  });

  it("a tag at the finish corrects a start that was only guessed", () => {
    expect(told([at(0, 10), at(2, 120, { taggedRider: "R2" })], two)).toEqual([
      ["R2", 10, null, 120],
    ]);
  });

  it("two named riders close together are never merged", () => {
    const seen = [
      at(0, 10, { taggedRider: "R1" }),
      at(0, 12, { taggedRider: "R2" }),
      at(2, 120, { taggedRider: "R2" }),
    ];
    expect(told(seen, two)).toEqual([
      ["R1", 10, null, null],
      ["R2", 12, null, 120],
    ]);
  });
});

describe("what is no run", () => {
  it("a finish without a start is an orphan", () => {
    expect(states([at(2, 100)])).toEqual(["orphan"]);
  });

  it("riding back up through the finish after a finish is an orphan", () => {
    const seen = [at(0, 0), at(2, 100), at(2, 150), at(1, 170)];
    expect(states(seen)).toEqual(["matched", "matched", "orphan", "orphan"]);
  });

  it("a second trip within 3 s is merged, the first edge counts, and it is flagged", () => {
    const seen = [at(0, 10), at(0, 12.9), at(2, 130), at(2, 132)];
    expect(told(seen)).toEqual([["R1", 10, null, 130]]);
    expect(states(seen)).toEqual(["matched", "double", "matched", "double"]);
    expect(match(seen).runs[0]?.flags).toEqual(["double trip"]);
  });

  it("after 3 s it is a trip of its own", () => {
    expect(states([at(0, 10), at(0, 13.1)])).toEqual(["false-start", "matched"]);
  });

  it("not a bike: left out until the operator promotes it", () => {
    const walker = at(0, 10, { looksWrong: true });
    const seen = [walker, at(0, 100), at(2, 220)];
    expect(states(seen)[0]).toBe("not-a-bike");
    const promoted = [{ ...walker, promotedAt: s(300) }, at(0, 100), at(2, 220)];
    expect(states(promoted)[0]).toBe("matched");
  });

  it("struck out by the operator: kept, in no run", () => {
    const seen = [at(0, 10), at(0, 100, { rejectedAt: s(101) }), at(2, 130)];
    expect(told(seen)).toEqual([["R1", 10, null, 130]]);
    expect(states(seen)[1]).toBe("rejected");
  });

  it("a box at no gate of the sheet is an orphan", () => {
    expect(states([at([], 10)])).toEqual(["orphan"]);
  });
});

describe("keyed passings", () => {
  const hand = { source: "hand" as const };

  it("a missed beam keyed in the middle of a beam-timed run is part of it", () => {
    expect(told([at(0, 10), at(1, 60, hand), at(2, 130)])).toEqual([["R1", 10, 60, 130]]);
  });

  it("keyed within 3 s of a beam that worked: the beam counts, whichever came first", () => {
    for (const keyedAt of [8, 12]) {
      const seen = [at(0, 10), at(0, keyedAt, hand), at(2, 130)];
      expect(told(seen)).toEqual([["R1", 10, null, 130]]);
      expect(states(seen)[1]).toBe("double");
    }
  });

  it("the run keeps its name when the beam's line comes in later", () => {
    const keyed = at(0, 10, hand);
    const before = match([keyed]).runs[0]?.runId;
    const seen = [keyed, at(0, 10.5), at(2, 130)];
    expect(match(seen).runs[0]?.runId).toBe(before);
    expect(told(seen)).toEqual([["R1", 10.5, null, 130]]);
  });

  it("two keys soon after each other are two riders, at the start and at the finish", () => {
    const seen = [at(0, 10, hand), at(0, 11, hand), at(2, 130, hand), at(2, 132, hand)];
    expect(told(seen, two)).toEqual([
      ["R1", 10, null, 130],
      ["R2", 11, null, 132],
    ]);
  });

  it("of two keys beside one beam only the first stands for the beam", () => {
    const seen = [at(0, 10), at(0, 10.4, hand), at(0, 11.5, hand)];
    expect(told(seen, two)).toEqual([
      ["R1", 10, null, null],
      ["R2", 11.5, null, null],
    ]);
  });

  it("a key pressed for a rider names the beam it stands for", () => {
    const seen = [at(0, 10), at(0, 11, { ...hand, taggedRider: "R2" })];
    expect(told(seen, two)).toEqual([["R2", 10, null, null]]);
  });
});

describe("splits", () => {
  it("a missing split leaves its place empty", () => {
    expect(told([at(0, 10), at(2, 130)])).toEqual([["R1", 10, null, 130]]);
  });

  it("a second passing of a split in one run is an orphan", () => {
    expect(states([at(0, 10), at(1, 50), at(1, 60), at(2, 130)])[2]).toBe("orphan");
  });

  it("a split without a start is an orphan", () => {
    expect(states([at(1, 50)])).toEqual(["orphan"]);
  });
});

describe("start and finish in one box", () => {
  const loop = { finishGate: 1 };
  const both = (t: number, more: Partial<Detection> = {}) => at([0, 1], t, more);

  it("passings alternate between start and finish", () => {
    const seen = [both(0), both(100), both(300), both(410)];
    expect(told(seen, loop)).toEqual([
      ["R1", 0, 100],
      ["R1", 300, 410],
    ]);
  });

  it("too soon for a finish: a new start, the first was a false one", () => {
    const seen = [both(0), both(20), both(120)];
    expect(told(seen, loop)).toEqual([["R1", 20, 120]]);
    expect(states(seen, loop)[0]).toBe("false-start");
  });

  it("too late for a finish: a new start, the first stays on course", () => {
    const seen = [both(0), both(600), both(700)];
    expect(told(seen, loop)).toEqual([
      ["R1", 0, null],
      ["R1", 600, 700],
    ]);
  });

  it("another rider's tag is a start", () => {
    const seen = [both(0, { taggedRider: "R1" }), both(100, { taggedRider: "R2" })];
    expect(told(seen, { ...loop, ...two })).toEqual([
      ["R1", 0, null],
      ["R2", 100, null],
    ]);
  });
});

describe("the operator", () => {
  const start = at(0, 10, { passingId: "start" });
  const finish = at(2, 500, { passingId: "finish" });

  it("joins a start and a finish whatever the limits say", () => {
    const decisions = { ...undecided, joins: new Map([["finish", "start"]]) };
    expect(told([start, finish])).toEqual([["R1", 10, null, null]]);
    expect(told([start, finish], { decisions })).toEqual([["R1", 10, null, 500]]);
    // No other finish takes the joined start in between, no false start is made of it.
    const seen = [start, at(0, 40), at(2, 130), finish];
    expect(told(seen, { decisions })).toEqual([
      ["R1", 10, null, 500],
      ["R1", 40, null, 130],
    ]);
  });

  it("puts a passing into a run", () => {
    const intoRun = new Map([["finish", String(start.entrySeq)]]);
    expect(told([start, finish], { decisions: { ...undecided, intoRun } })).toEqual([
      ["R1", 10, null, 500],
    ]);
  });

  it("splits a run into its start and its finish", () => {
    const seen = [start, at(2, 130)];
    const splitRuns = new Map([[String(start.entrySeq), s(200)]]);
    const decisions = { ...undecided, splitRuns };
    expect(told(seen, { decisions })).toEqual([["R1", 10, null, null]]);
    expect(states(seen, { decisions })).toEqual(["matched", "orphan"]);
    // A finish that comes after that may still be its own.
    expect(told([...seen, at(2, 250)], { decisions })).toEqual([["R1", 10, null, 250]]);
  });
});

describe("late arrivals", () => {
  it("a start arriving after its finish makes the run after all", () => {
    const finish = at(2, 130);
    expect(states([finish])).toEqual(["orphan"]);
    expect(told([finish, at(0, 10)])).toEqual([["R1", 10, null, 130]]);
  });

  const passing = fc.record({
    gate: fc.constantFrom<number[]>([0], [1], [2]),
    s: fc.integer({ min: 0, max: 2000 }),
    taggedRider: fc.constantFrom(null, null, "R1", "R2"),
    source: fc.constantFrom("beam" as const, "hand" as const, "transponder" as const),
    looksWrong: fc.constantFrom(false, false, false, true),
    rejected: fc.constantFrom(false, false, false, true),
  });
  const day = fc.array(passing, { maxLength: 40 }).map((all) =>
    all.map(({ gate, s: when, rejected, ...more }, i) => ({
      ...at(gate, when, { ...more, passingId: `p${String(i)}` }),
      rejectedAt: rejected ? s(when + 50) : null,
    })),
  );

  it("the same passings give the same runs in whatever order they came", () => {
    fc.assert(
      fc.property(
        day.chain((all) =>
          fc.tuple(fc.constant(all), fc.shuffledSubarray(all, { minLength: all.length })),
        ),
        ([all, shuffled]) => {
          const now = s(3000);
          expect(match(shuffled, { ...two, now }).runs).toEqual(match(all, { ...two, now }).runs);
        },
      ),
      { seed: 7, numRuns: 300 },
    );
  });

  it("every passing comes to something, and is in one run at most", () => {
    fc.assert(
      fc.property(day, (all) => {
        const { runs, fates } = match(all, two);
        const inRuns = runs.flatMap((r) => r.passingIds.filter((id) => id !== null));
        expect(new Set(inRuns).size).toBe(inRuns.length);
        expect([...fates.keys()].sort()).toEqual(all.map((d) => d.passingId).sort());
        for (const id of inRuns) expect(fates.get(id)?.state).toBe("matched");
        for (const [id, fate] of fates) {
          if (fate.state === "matched") expect(inRuns).toContain(id);
        }
      }),
      { seed: 7, numRuns: 300 },
    );
  });

  it("later passings never rewrite a finished run that is sure", () => {
    fc.assert(
      fc.property(day, fc.integer({ min: 0, max: 2000 }), (all, cut) => {
        // Passings merged across the cut, or named later, may well tell more about earlier ones.
        const plain = all.map((d) => ({ ...d, source: "beam" as const, taggedRider: null }));
        const earlier = plain.filter((d) => d.at <= s(cut));
        const one = { now: s(3000) };
        const done = match(earlier, one).runs.filter((r) => r.isFinished);
        const then = match(plain, one).runs;
        for (const run of done)
          expect(then).toContainEqual(
            expect.objectContaining({
              runId: run.runId,
              passingIds: run.passingIds,
            }),
          );
      }),
      { seed: 7, numRuns: 300 },
    );
  });

  it("with two riders a later passing makes no sure run unsure, nor another's", () => {
    fc.assert(
      fc.property(day, fc.integer({ min: 0, max: 2000 }), (all, cut) => {
        const plain = all.map((d) => ({ ...d, source: "beam" as const, taggedRider: null }));
        const earlier = plain.filter((d) => d.at <= s(cut));
        const known = { ...two, now: s(3000), expectedS: 130 };
        const sure = match(earlier, known).runs.filter((r) => r.isFinished && !r.isAmbiguous);
        const then = new Map(match(plain, known).runs.map((r) => [r.runId, r]));
        for (const { runId, passingIds } of sure) {
          expect(then.get(runId)).toMatchObject({ passingIds, isAmbiguous: false });
        }
      }),
      { seed: 7, numRuns: 500 },
    );
  });
});
