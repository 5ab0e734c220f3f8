// The console's acts on a real file: what the status line says of each, and what came of it.
import { describe, expect, test } from "vitest";
import type { SessionFile } from "../../src/app/session-file.ts";
import { verifyFile } from "../../src/app/verify.ts";
import { actsOn } from "../../src/cli/acts-on-file.ts";
import { hostUs } from "../../src/domain/time.ts";
import type { ConsoleActs } from "../../src/tui/console/acts.ts";
import { operator, sheet, TestLaptop } from "../app/a-day.ts";

const oneRider = {
  ...sheet,
  gates: sheet.gates.map((gate) => ({ ...gate, box: null })),
  riders: sheet.riders.slice(0, 1),
  setups: sheet.setups.map((setup) => ({ ...setup, values: { rear_pressure_bar: 1.6 } })),
};

interface AtTheKeys {
  readonly laptop: TestLaptop;
  readonly file: SessionFile;
  readonly acts: ConsoleActs;
}

function atTheKeys(plannedRuns = 20): AtTheKeys {
  const laptop = new TestLaptop();
  const settings = { ...oneRider.settings, plannedRuns };
  const file = laptop.make({ ...oneRider, settings });
  return { laptop, file, acts: actsOn(file, operator) };
}

/** One run, keyed by hand. */
function ride({ laptop, acts }: AtTheKeys): void {
  laptop.pass(60);
  expect(acts.mark(0, hostUs(laptop.time.now())).ok).toBe(true);
  laptop.pass(60);
  expect(acts.mark(2, hostUs(laptop.time.now())).ok).toBe(true);
}

describe("a set-up is added", () => {
  test("before run 1: a copy, and in the plan", () => {
    const { file, acts } = atTheKeys();
    expect(acts.addSetup("C", "Ring", "B")).toEqual({
      ok: true,
      text: "set-up C added: it stays",
    });
    const { setups, plan } = file.session();
    const values = { rear_pressure_bar: 1.6 };
    const cost = { worthS: null, price: null, weightKg: null };
    expect(setups[2]).toEqual({ id: "C", name: "Ring", baseline: false, values, ...cost });
    expect(plan?.setups).toEqual(["A", "B", "C"]);
  });

  test("after run 1: compared by the open band, and said so", () => {
    const day = atTheKeys();
    ride(day);
    expect(day.acts.addSetup("C", "Ring", "A").text).toBe(
      "set-up C added, compared by the open band: it stays",
    );
    expect(day.file.session().plan?.setups).toEqual(["A", "B"]);
    const { riders } = day.file.summary().comparison;
    const pairs = riders[0]?.parts[0]?.pairs ?? [];
    expect(pairs.map((pair) => pair.setup)).toEqual(["B", "C"]);
    expect(verifyFile(day.file.store, day.file.summary())).toEqual([]);
  });

  test("refused in words where the plan would be too short for it", () => {
    const { file, acts } = atTheKeys(8);
    const said = acts.addSetup("C", "Ring", "A");
    expect(said.ok).toBe(false);
    expect(said.text).toMatch(/^planned_runs = 8: too few runs .*3 set-ups/);
    expect(file.session().setups).toHaveLength(2);
  });

  test("is not what the undo key takes back", () => {
    const { file, acts } = atTheKeys();
    acts.addSetup("C", "Ring", "A");
    expect(acts.undo()).toMatchObject({ ok: false });
    expect(file.session().setups).toHaveLength(3);
  });
});

test("a rider is added, and can be called", () => {
  const { file, acts } = atTheKeys();
  expect(acts.addRider("R2", "Rider two")).toEqual({ ok: true, text: "rider R2 added: it stays" });
  expect(acts.nextStarter("R2").ok).toBe(true);
  expect(file.session().nextStarter).toBe("R2");
  expect(acts.addRider("R2", "Rider two again").text).toBe(
    "R2 is there already: choose another id",
  );
});

describe("a set-up's sheet", () => {
  test("line by line, each taken back by itself", () => {
    const { file, acts } = atTheKeys();
    const values = () => file.session().setups[1]?.values;
    expect(acts.writeSetupLine("B", "rear_pressure_bar", 1.45).text).toBe(
      "B: rear_pressure_bar = 1.45 (u: take it back)",
    );
    acts.writeSetupLine("B", "rear_insert", "foam");
    expect(values()).toEqual({ rear_pressure_bar: 1.45, rear_insert: "foam" });
    expect(acts.writeSetupLine("B", "rear_insert", null).text).toBe(
      "rear_insert is off B's sheet (u: take it back)",
    );
    expect(values()).toEqual({ rear_pressure_bar: 1.45 });
    acts.undo();
    expect(values()).toEqual({ rear_pressure_bar: 1.45, rear_insert: "foam" });
    acts.undo();
    expect(values()).toEqual({ rear_pressure_bar: 1.45 });
    acts.undo();
    expect(values()).toEqual({ rear_pressure_bar: 1.6 });
  });

  test("its name", () => {
    const { file, acts } = atTheKeys();
    expect(acts.renameSetup("B", "Foam, cut").text).toBe("B is called Foam, cut (u: take it back)");
    expect(file.session().setups[1]).toMatchObject({
      name: "Foam, cut",
      values: { rear_pressure_bar: 1.6 },
    });
    expect(acts.renameSetup("B", "")).toMatchObject({ ok: false });
  });
});

test("a step of the ground is said, allowed for from the next start, and can be taken back", () => {
  const day = atTheKeys();
  ride(day);
  expect(day.acts.markCondition("sun", false).text).toBe("conditions noted (u: take it back)");
  ride(day);
  expect(day.acts.markCondition("rain", true).text).toBe(
    "conditions noted, a step allowed for from the next start (u: take it back)",
  );
  ride(day);
  expect(day.acts.markGateMoved(2, "re-aimed").text).toBe(
    "gate moved: a step allowed for from the next start (u: take it back)",
  );
  ride(day);
  const grounds = (): readonly number[] => day.file.session().runs.map((run) => run.ground);
  expect(grounds()).toEqual([0, 0, 1, 2]);
  day.acts.undo(); // the finish
  day.acts.undo();
  expect(day.acts.undo().text).toBe("taken back: gate moved (v: bring it back)");
  expect(grounds()).toEqual([0, 0, 1]);
});
