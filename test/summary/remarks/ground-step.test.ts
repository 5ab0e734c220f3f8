// What is said of a marked step of the ground.
import { describe, expect, it } from "vitest";
import { type MadeRun, normals } from "../../stats/made-session.ts";
import { remarksOf, textsOf } from "./remarks-of.ts";

/** A bar where the ground changes, `stepS` slower each time. */
function day(order: string, stepS: number, of: Partial<MadeRun> = {}): MadeRun[] {
  const normal = normals(6);
  return order.split("|").flatMap((setups, ground) =>
    Array.from(setups, (setup): MadeRun => {
      const timeS = 90 + (setup === "A" ? 0 : -1) + stepS * ground + 0.5 * normal();
      return { setup, timeS, ground, ...of };
    }),
  );
}

describe("a step", () => {
  it("is told with what it did, at the first run after it", () => {
    const [remark] = remarksOf({ runs: day("ABBAABBA|ABBA", 3) }, "ground-step");
    expect(remark).toMatchObject({ level: "note", rider: "R1", setup: null, run: "9" });
    const words =
      /^the ground changed before run 9: a step is allowed for; it made runs (.*) s slower \(\+-(.*) s\)$/;
    expect(remark?.text).toMatch(words);
    const [, slowerS, halfS] = words.exec(remark?.text ?? "") ?? [];
    expect(Math.abs(Number(slowerS) - 3)).toBeLessThan(Number(halfS));
    const [quicker] = textsOf({ runs: day("ABBAABBA|ABBA", -3) }, "ground-step");
    expect(quicker).toMatch(/ s quicker \(\+-/);
  });

  it("is told without figures where it is not told from the set-ups and the day", () => {
    const [step] = textsOf({ runs: day("AAA|BBB", 3) }, "ground-step");
    expect(step).toBe("the ground changed before run 4: a step is allowed for");
  });

  it("is named by rider and day where there are several, and not told where there is none", () => {
    const runs = [...day("ABBA|ABBA", 2), ...day("ABBA|BAAB", 2, { rider: "R2", day: 1 })];
    const texts = textsOf({ runs, riders: ["R1", "R2"] }, "ground-step");
    expect(texts).toHaveLength(2);
    expect(texts[1]).toMatch(/^the ground changed before run 5 of R2 on day 2: /);
    expect(textsOf({ runs: day("ABBA", 0), ground: 1 }, "ground-step", "ground-swap")).toEqual([]);
  });
});

describe("a step at a swap", () => {
  it("is warned of with what to ride", () => {
    const [remark] = remarksOf({ runs: day("AAA|BBB", 3) }, "ground-swap");
    expect(remark).toEqual({
      level: "warn",
      kind: "ground-swap",
      rider: "R1",
      setup: "B",
      run: null,
      text: "the ground changed just as the set-up was swapped: ride A again before judging",
    });
    expect(textsOf({ runs: day("AAA|BBBA", 3) }, "ground-swap")).toHaveLength(1);
    expect(textsOf({ runs: day("AAA|BBBAAB", 3) }, "ground-swap")).toEqual([]);
    expect(textsOf({ runs: day("ABBA|ABBA", 3) }, "ground-swap")).toEqual([]);
  });

  it("names the rider where there are several", () => {
    const runs = [...day("ABBA|ABBA", 2), ...day("AAA|BBB", 2, { rider: "R2" })];
    expect(textsOf({ runs, riders: ["R1", "R2"] }, "ground-swap")).toEqual([
      "R2: the ground changed just as the set-up was swapped: ride A again before judging",
    ]);
  });
});
