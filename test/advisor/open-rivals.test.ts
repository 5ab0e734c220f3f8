// The suggestion weighs every set-up that is still open against the leader: each index worked out
// again from (X'X)^-1 by ml-matrix, an outside program for linear algebra.
import { inverse, Matrix } from "ml-matrix";
import { expect, it } from "vitest";
import { riddenDesign } from "../../src/advisor/ridden-design.ts";
import { chooseRide, type Option, type Situation } from "../../src/advisor/suggestion-rule.ts";

const SETUPS = ["A", "B", "C", "D"];
const COSTS = { lapMinutes: 8, swapMinutes: () => 6 };

/** A day with the leader A and the closest rival B; `alive` are all that are open, and A. */
function situationOf(order: string, alive: string): Situation {
  const counted = Array.from(order);
  const rows = counted.map((setup, i) => ({ block: "R1", setup, k: i + 1, ground: 0 }));
  const next = { block: "R1", k: order.length + 1, ground: 0 };
  return {
    design: riddenDesign(rows, SETUPS, "linear", next),
    leader: "A",
    rival: "B",
    rideable: SETUPS,
    alive: Array.from(alive),
    mounted: counted.at(-1) ?? null,
    counted,
    next,
    minutesLeft: null,
  };
}

/** Standard error of a difference to A, in spreads: a column a set-up and one for the trend. */
function errorOf(order: string, setup: string): number {
  const rows = Array.from(order, (ridden, i) => [
    ...SETUPS.map((each) => Number(each === ridden)),
    i - order.length / 2,
  ]);
  const x = new Matrix(rows);
  const m = inverse(x.transpose().mmul(x));
  const j = SETUPS.indexOf(setup);
  return Math.sqrt(m.get(0, 0) + m.get(j, j) - 2 * m.get(0, j));
}

function gain(order: string, setup: string, rival: string): number {
  const isStaying = order.endsWith(setup);
  const g = Math.log(errorOf(order, rival) / errorOf(order + setup, rival));
  return (g / (isStaying ? 8 : 14)) * (isStaying ? 1.15 : 1);
}

/** The rides in the running: no fourth in a row. */
const running = (order: string, alive: string): readonly string[] =>
  Array.from(alive).filter((setup) => !order.endsWith(setup.repeat(3)));

const largest = (of: readonly string[], value: (setup: string) => number): string | undefined =>
  of.toSorted((a, b) => value(b) - value(a))[0];

const ORDERS = ["ABCDDCBA", "BADCCDABB", "CABDDBACCA", "DCABBACDAAB", "ACBDDBCAACB", "BCADDACBBBA"];

const choose = (situation: Situation): ReturnType<typeof chooseRide> =>
  chooseRide(
    situation,
    COSTS,
    () => 2,
    () => 0,
  );
const indexOf = (options: readonly Option[], setup: string): number | null =>
  options.find((option) => option.setup === setup)?.index ?? null;

it.each(ORDERS)(
  "after %s: its own gain is the closest pair's, the others' count 0.3 times",
  (order) => {
    const { setup, options } = choose(situationOf(order, "ABCD"));
    const rides = running(order, "ABCD");
    for (const ride of rides) expect(indexOf(options, ride)).toBeCloseTo(gain(order, ride, "B"), 9);
    const worth = (ride: string): number =>
      gain(order, ride, "B") + 0.3 * (gain(order, ride, "C") + gain(order, ride, "D"));
    expect(setup).toBe(largest(rides, worth));
  },
);

it.each(ORDERS)("after %s: whoever is settled counts no more and is not sent on", (order) => {
  const { setup } = choose(situationOf(order, "AB"));
  expect(setup).toBe(largest(running(order, "AB"), (ride) => gain(order, ride, "B")));
});

it("the others decide where the closest pair alone would have chosen otherwise", () => {
  const differing = ORDERS.filter((order) => {
    const alone = largest(running(order, "ABCD"), (ride) => gain(order, ride, "B"));
    return choose(situationOf(order, "ABCD")).setup !== alone;
  });
  expect(differing.length).toBeGreaterThan(0);
});
