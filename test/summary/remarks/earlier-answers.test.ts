// The plan's last word in overtime, and a verdict that later runs have taken back.
import { expect, it } from "vitest";
import { lastWords, verdictsBefore } from "../../../src/summary/remarks/earlier-answers.ts";
import { countedRuns, type MadeSession } from "../../stats/made-session.ts";
import { mirrored, timesOf } from "../../stats/mirrored-day.ts";
import { basisOf } from "./basis-of.ts";

const EFFECT = -2;
const order = mirrored(14);
const times = timesOf(order, EFFECT);
const day = (n: number, more: Partial<MadeSession> = {}): MadeSession => ({
  runs: countedRuns(order.slice(0, n), times),
  settings: { plannedRuns: 8, ...more.settings },
});

it("keeps the plan's last word in sight as soon as one more run has been ridden, with its own band", () => {
  expect(lastWords(basisOf(day(7)))).toEqual([]);
  expect(lastWords(basisOf(day(8)))).toEqual([]);
  const atEnd = basisOf(day(8)).riders[0]?.parts[0]?.pairs[0];
  const [remark] = lastWords(basisOf(day(9)));
  expect(remark).toMatchObject({ level: "note", kind: "last-word", rider: "R1", setup: "B" });
  expect(remark?.text).toMatch(/^the plan's last word, at run 8: B quicker by [\d.]+ s \(/);
  expect(remark?.text).toMatch(/since then a wider band holds$/);
  const low = /between (-[\d.]+) and/.exec(remark?.text ?? "")?.[1];
  expect(Number(low)).toBeCloseTo(atEnd?.band_s?.[0] ?? Number.NaN, 1);
  expect(lastWords(basisOf(day(9)))).toHaveLength(1);
});

it("has no last word without a plan, or in the open band", () => {
  expect(lastWords(basisOf(day(9, { settings: { plannedRuns: null, bands: "open" } })))).toEqual(
    [],
  );
  expect(lastWords(basisOf(day(9, { settings: { bands: "open" } })))).toEqual([]);
});

it("says what the answer was when the runs since have taken it back", () => {
  const spoilt: MadeSession = {
    runs: [
      ...countedRuns(order.slice(0, 8), times),
      ...countedRuns(["B", "A", "A", "B"], [150, 120, 120, 149]),
    ],
    settings: { plannedRuns: 12 },
  };
  const basis = basisOf(spoilt);
  const pair = basis.riders[0]?.parts[0]?.pairs[0];
  expect(pair?.verdict).toBe("cannot-tell");
  expect(pair?.called_at_run).not.toBeNull();
  const [remark] = verdictsBefore(basis);
  expect(remark?.text).toMatch(
    new RegExp(
      `^at run ${String(pair?.called_at_run)} the answer was: B quicker by .*; the runs since have taken it back$`,
    ),
  );
  expect(verdictsBefore(basisOf(day(8)))).toEqual([]);
});

it("speaks of no difference and of open answers as the verdict did", () => {
  const same = { runs: countedRuns(order.slice(0, 9), timesOf(order, 0)) };
  const worth = basisOf({ ...same, settings: { plannedRuns: 8, marginS: 5 } });
  expect(lastWords(worth)[0]?.text).toContain("B against A no difference worth having");
  const open = basisOf({ ...same, settings: { plannedRuns: 8 } });
  expect(lastWords(open)[0]?.text).toMatch(/B against A can't tell, [+-][\d.]+ s, between/);
});
