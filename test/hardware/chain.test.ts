// From the wheel in the beam to the session file, with the real program in two boxes: is the time right?
import { join } from "node:path";
import { beforeAll, expect, test } from "vitest";
import { verifyFile } from "../../src/app/verify.ts";
import { openToWrite } from "../../src/cli/open-session.ts";
import { run } from "../e2e/program.ts";
import { emptyFolder } from "../store/on-disk.ts";
import { runChain, scatterOf } from "./chain.ts";
import { because, buildBoxes, isSkipped } from "./tools.ts";

const seed = 20260509;

beforeAll(buildBoxes, 120_000);

test.skipIf(isSkipped)(
  `twelve runs over a bad radio are timed to within their own uncertainty (seed ${String(seed)})${because}`,
  async ({ annotate }) => {
    const folder = emptyFolder();
    const file = join(folder, "day.swaplap");
    const { runs, notices, exchanges, livedS } = await runChain({
      ...{ file, seed, runs: 12, warmUpS: 22, everyS: 4, runS: 2.5 },
      // The seventh start falls into it, and the eighth.
      outageS: [23, 29],
      afterS: 310,
    });
    expect(notices).toEqual([]);
    expect(runs.map(({ last }) => [last.status, last.k, last.flags])).toEqual(
      runs.map((_, k) => ["ok", k + 1, []]),
    );
    expect(runs).toHaveLength(12);
    const live = scatterOf(runs, "live");
    const last = scatterOf(runs, "last");
    await annotate(JSON.stringify({ live, last, exchanges, livedS }));
    for (const { live: first, last: final } of runs) {
      expect(first.provisional).toBe(true);
      expect(first.uncertaintyS).toBeLessThan(0.02);
      expect(final.uncertaintyS).toBeLessThan(0.002);
      expect(final.provisional).toBe(false);
    }
    expect(live.worstInU).toBeLessThan(3);
    expect(last.worstInU).toBeLessThan(3);
    expect(last.worstMs).toBeLessThan(2);
    const opened = openToWrite(file);
    expect(verifyFile(opened.store, opened.summary())).toEqual([]);
    opened.close();
    expect(await run(folder, "verify", "day.swaplap")).toMatchObject({ code: 0, err: "" });
  },
  300_000,
);
