// Whether one set-up was ridden harder than another, as the riders said; one of the remarks.
import { exertionsOf } from "../../advisor/rider-stops.ts";
import type { Remark } from "../../domain/remark.ts";
import { setupMeans } from "./means-by-setup.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { whose } from "./whose.ts";

/** Of 0 to 10. chosen: a whole step is what people tell apart; test/summary/remarks/rest.test.ts. */
const DIFFERS = 1;

/** One note a rider: mean exertion over the counted, timed runs of each set-up, where it differs. */
export function unequalExertions({ input }: RemarkBasis): readonly Remark[] {
  const told = new Map(exertionsOf(input.measures).map((each) => [each.runId, each.value]));
  return input.riders.flatMap(({ id: rider }): readonly Remark[] => {
    const values = input.runs.flatMap((run) => {
      const value = told.get(run.runId);
      const isTimed = run.status === "ok" && run.timeS !== null;
      return run.rider !== rider || !isTimed || value === undefined
        ? []
        : [{ setup: run.setup, value }];
    });
    const means = setupMeans(input, values);
    const [least, most] = [means.at(0), means.at(-1)];
    if (least === undefined || most === undefined || most.mean - least.mean < DIFFERS) return [];
    const figures = means.map(({ setup, mean }) => `${setup} ${mean.toFixed(1)}`).toReversed();
    const text = `exertion differs between set-ups (${figures.join(", ")} of 10): the times are not of the same effort`;
    return [
      {
        level: "note",
        kind: "unequal-exertion",
        rider,
        setup: most.setup,
        run: null,
        text: whose(input, rider) + text,
      },
    ];
  });
}
