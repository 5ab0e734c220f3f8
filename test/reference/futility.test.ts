// The rule for "hardly any chance" on the cases that R worked out.
import { expect, it } from "vitest";
import { chancesOfVerdict } from "../../src/stats/forecast.ts";
import { isHardlyAnyChance } from "../../src/stats/futility.ts";
import { namedCase } from "./cases.ts";

interface Row {
  readonly est: number;
  readonly s: number;
  readonly n: number;
  readonly z2: number;
  readonly nu: number;
  readonly stop: boolean;
}

it("stops where R does, by the chance of a verdict at the end of a plan of 20", () => {
  const { expected } = namedCase<
    { N: number },
    { m_N: number; z2_N: number; rows: readonly Row[] }
  >("bands.json", "forecast_at_the_last_word_20");
  const stops = expected.rows.map(({ est, s, n, z2, nu }) => {
    const halfWidthS = (expected.m_N * s) / Math.sqrt(expected.z2_N);
    const now = { differenceS: est, spreadS: s, z2, df: nu };
    const [chance = null] = chancesOfVerdict(
      now,
      [{ z2: expected.z2_N, halfWidthS, innerHalfWidthS: 0 }],
      null,
    );
    return isHardlyAnyChance(n, nu, chance);
  });
  expect(stops).toEqual(expected.rows.map((row) => row.stop));
  expect(stops).toContain(true);
  expect(stops).toContain(false);
});
