// Practice with what was added at the keys: the day goes on.
import { join } from "node:path";
import { expect, test } from "vitest";
import { actsOn } from "../../src/cli/acts-on-file.ts";
import { PracticeDay } from "../../src/cli/practice-day.ts";
import { emptyFolder } from "../store/on-disk.ts";

test("a set-up and a rider added at the keys are ridden", async () => {
  const day = new PracticeDay({
    file: join(emptyFolder(), "practice.swaplap"),
    runs: 12,
    seed: 7,
    startAtUs: Date.UTC(2026, 4, 9, 8) * 1000,
    notice: () => undefined,
  });
  const acts = actsOn(day.file, { who: "operator", writer: "test" });
  day.start();
  while (day.file.summary().runs.length < 3) day.advanceTo(day.time.now() + 1e6);
  expect(acts.addSetup("C", "Ring", "A").ok).toBe(true);
  expect(acts.addRider("R2", "Rider two").ok).toBe(true);
  day.runToTheEnd();
  const { runs } = day.file.summary();
  await day.stop();
  expect(runs.map((run) => run.status)).toEqual(Array.from({ length: 12 }, () => "ok"));
  expect(new Set(runs.map((run) => run.setup))).toContain("C");
  expect(new Set(runs.map((run) => run.rider))).toEqual(new Set(["R1", "R2"]));
});
