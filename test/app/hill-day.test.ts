// A day on the simulated hill through recorder, decoder, clocks, matcher and store: lines lost and
// doubled on the radio, the recorder restarted while a rider is on course.
import { expect, test } from "vitest";
import { logSwap } from "../../src/app/day-commands.ts";
import { verifyFile } from "../../src/app/verify.ts";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import { SimulatedHill } from "../../src/source/simulated-hill.ts";
import { ofType, operator, sheet, TestLaptop } from "./a-day.ts";

const seed = 20260509;
const trouble = { lost: 0.1, doubled: 0.1, noise: 0.05 };

test(`every ride is timed, to within its own uncertainty, and none twice (seed ${String(seed)})`, async () => {
  const laptop = new TestLaptop();
  const oneRider = { ...sheet, riders: sheet.riders.slice(0, 1) };
  let file = laptop.make(oneRider);
  const effectSpreads = { A: 0, B: -3 };
  const hill = new SimulatedHill({ time: laptop.time, seed, effectSpreads, trouble });
  let recorder = laptop.recorder(file, [hill]);
  recorder.start();
  laptop.pass(70); // boxes found, clocks asked each second
  for (let ride = 0; ride < 6; ride += 1) {
    const setup = "ABBAAB".charAt(ride);
    if (file.session().mounted["R1"] !== setup) {
      file.append(operator, (session) => logSwap(session, "R1", setup, true));
    }
    hill.setMounted(setup);
    hill.sendRider();
    if (ride === 3) {
      laptop.pass(20);
      expect(file.session().runs.at(-1)).toMatchObject({ status: "on-course" });
      await recorder.stop("restarted in the middle of a run");
      file.close();
      laptop.pass(5);
      file = laptop.open(file.store.file);
      expect(file.session().runs.at(-1)).toMatchObject({ status: "on-course" });
      recorder = laptop.recorder(file, [hill]);
      recorder.start();
    }
    while (hill.isRiderOnCourse) laptop.pass(1);
    laptop.pass(30);
  }
  const session = file.session();
  expect(session.runs.map((run) => [run.status, run.setup, run.k])).toEqual([
    ["ok", "A", 1],
    ["ok", "B", 2],
    ["ok", "B", 3],
    ["ok", "A", 4],
    ["ok", "A", 5],
    ["ok", "B", 6],
  ]);
  session.runs.forEach((run, i) => {
    const truth = hill.rides[i]?.sectorS ?? [0, 0];
    const uncertaintyS = run.uncertaintyS ?? 0;
    expect(uncertaintyS).toBeGreaterThan(0);
    expect(uncertaintyS).toBeLessThan(0.01);
    const errorS = (run.timeS ?? 0) - (truth[0] + truth[1]);
    expect(Math.abs(errorS), `run ${String(i + 1)}`).toBeLessThan(3 * uncertaintyS);
    expect((run.sectorS[0] ?? 0) + (run.sectorS[1] ?? 0)).toBeCloseTo(run.timeS ?? 0, 6);
  });
  // The radio was as bad as meant: lines came twice and damaged, and were neither kept nor lost.
  expect(session.faults.unreadable).toBeGreaterThan(0);
  const keys = ofType(file, "line-received").flatMap(({ body: { decoded, fault } }) =>
    fault === null && decoded?.["type"] === "event"
      ? [[decoded["box"], decoded["boot"], decoded["seq"]].join(" ")]
      : [],
  );
  expect(new Set(keys).size).toBe(keys.length);
  expect(keys.length).toBe(6 * 3 * 2); // each passing a break and a clear
  expect(sessionOf(extendFold(emptyFold(), file.store.readSince(0)))).toEqual(session);
  expect(verifyFile(file.store, file.summary())).toEqual([]);
}, 60_000);
