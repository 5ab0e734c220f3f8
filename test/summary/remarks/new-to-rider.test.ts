// A set-up that is new to its rider: practice that was missing, verdicts that were held back.
import { describe, expect, it } from "vitest";
import { newToRiders } from "../../../src/summary/remarks/new-to-rider.ts";
import { countedRuns, type MadeRun, type MadeSession } from "../../stats/made-session.ts";
import { mirrored, timesOf } from "../../stats/mirrored-day.ts";
import { basisOf, basisOfInput } from "./basis-of.ts";

const practice = (n: number, setup = "B"): MadeRun[] =>
  Array.from({ length: n }, () => ({ setup, timeS: 130, status: "warm-up" }));

function day(made: {
  practice: number;
  effectS?: number;
  n?: number;
  newTo?: string;
}): MadeSession {
  const order = mirrored(made.n ?? 12);
  const runs = countedRuns(order, timesOf(order, made.effectS ?? 0));
  return { runs: [...practice(made.practice), ...runs], newTo: { R1: [made.newTo ?? "B"] } };
}
const texts = (made: MadeSession): string[] =>
  newToRiders(basisOf(made)).map((remark) => remark.text);

describe("practice on a new set-up", () => {
  it("is asked for once the set-up counts, run by run", () => {
    expect(newToRiders(basisOf(day({ practice: 1 })))).toEqual([
      {
        level: "warn",
        kind: "new-to-rider",
        rider: "R1",
        setup: "B",
        run: null,
        text: "B is new to R1: 1 practice run of 3; a slower B may only be unfamiliar",
      },
    ]);
    expect(texts(day({ practice: 0 }))[0]).toMatch(/: 0 practice runs of 3;/);
    expect(texts(day({ practice: 2 }))[0]).toMatch(/: 2 practice runs of 3;/);
    expect(texts(day({ practice: 3 }))).toEqual([]);
    expect(texts(day({ practice: 1, n: 1 }))).toEqual([]); // only A has been ridden
  });

  it("is that set-up's own, before its first counted run", () => {
    const made = day({ practice: 0 });
    const other = { ...made, runs: [...practice(3, "A"), ...made.runs] };
    expect(texts(other)[0]).toMatch(/: 0 practice runs of 3;/);
    const late = { ...made, runs: [...made.runs, ...practice(3)] };
    expect(texts(late)[0]).toMatch(/: 0 practice runs of 3;/);
  });

  it("is nothing to warn of where the new set-up is quicker all the same", () => {
    expect(texts(day({ practice: 0, effectS: -6 }))).toEqual([]);
    expect(texts(day({ practice: 0, effectS: 6 }))).not.toEqual([]);
    expect(texts(day({ practice: 0, effectS: 6, newTo: "A" }))).toEqual([]);
  });

  it("names the rider as the sheet does", () => {
    const { input } = basisOf(day({ practice: 0 }));
    const named = { ...input, riders: input.riders.map((r) => ({ ...r, name: "Rider one" })) };
    expect(newToRiders(basisOfInput(named))[0]?.text).toMatch(/^B is new to Rider one: /);
  });
});

describe("a verdict held back", () => {
  /** A day whose first two runs on a set-up are very slow. */
  const slowStart = (setup: string, others: number): MadeSession => {
    const order = mirrored(12);
    const quiet = timesOf(order, setup === "B" ? others : -others).map((t) => 120 + (t - 120) / 4);
    let early = 0;
    const times = order.map((each, i) => {
      if (each !== setup || early >= 2) return quiet[i] ?? 0;
      early += 1;
      return (quiet[i] ?? 0) + 3;
    });
    return { runs: [...practice(3, setup), ...countedRuns(order, times)], newTo: { R1: [setup] } };
  };

  it("is told with the reason, whichever of the two was new", () => {
    const found = ["A", "B"].map((setup) => {
      for (let others = 1; others < 8; others += 0.25) {
        const made = slowStart(setup, others);
        const [note] = newToRiders(basisOf(made));
        if (note !== undefined) return { made, note };
      }
      throw new Error(`no day holds a verdict on ${setup} back`);
    });
    found.forEach(({ made, note }, i) => {
      const setup = ["A", "B"][i] ?? "";
      expect(note).toMatchObject({ level: "note", kind: "new-to-rider", rider: "R1", setup });
      expect(note.text).toBe(
        `${setup} looks slower, but not without its first two runs: ${setup} was new to the rider`,
      );
      const pair = basisOf(made).riders[0]?.parts[0]?.pairs[0];
      expect(pair?.verdict).toBe("cannot-tell");
      expect((pair?.band_s?.[0] ?? 0) * (pair?.band_s?.[1] ?? 0)).toBeGreaterThan(0);
      // With nothing declared as new the same times are a verdict.
      const told = basisOf({ ...made, newTo: {} });
      expect(told.riders[0]?.parts[0]?.pairs[0]?.verdict).toBe(
        setup === "B" ? "slower" : "quicker",
      );
      expect(newToRiders(told)).toEqual([]);
    });
  });

  it("is told of all riders together", () => {
    const riders = ["R1", "R2", "R3"];
    const basis = basisOf({
      riders,
      newTo: { R2: ["B"] },
      runs: riders.flatMap((rider) =>
        countedRuns(mirrored(8), timesOf(mirrored(8), 0)).map((run) => ({ ...run, rider })),
      ),
    });
    const pairs = (basis.together?.pairs ?? []).map((pair) => ({
      ...pair,
      verdict: "cannot-tell" as const,
      band_s: [0.2, 1.9] as const,
    }));
    const notes = newToRiders({ ...basis, together: { pairs, end_of_day: null } });
    expect(notes.filter((note) => note.rider === null).map((note) => note.text)).toEqual([
      "B looks slower, but not without its first two runs: B was new to a rider",
    ]);
  });
});
