// Sign test, signed-rank test and the range of a share against R 4.2 and published tables.
import { describe, expect, it } from "vitest";
import { clopperPearson } from "../../src/stats/clopper-pearson.ts";
import { signTest } from "../../src/stats/sign-test.ts";
import { signedRank } from "../../src/stats/signed-rank.ts";
import { expectAbs, readData } from "./cases.ts";

interface Fixture<I, E> {
  readonly name: string;
  readonly inputs: I;
  readonly expected: E;
  readonly tolerance: number;
}

function fixture<I, E>(name: string): Fixture<I, E> {
  const { fixtures } = readData("planning.json") as { fixtures: readonly Fixture<I, E>[] };
  const found = fixtures.find((each) => each.name === name);
  if (found === undefined) throw new Error(`no case ${name}`);
  return found;
}

interface Table<E> {
  readonly id: string;
  readonly inputs: { readonly n: readonly number[] };
  readonly expected: E;
}

function table<E>(id: string): Table<E> {
  const { entries } = readData("04_critical_values.json") as { entries: readonly Table<E>[] };
  const found = entries.find((each) => each.id === id);
  if (found === undefined) throw new Error(`no table ${id}`);
  return found;
}

describe("the sign test", () => {
  it.each(["feel-sign-5-of-6", "feel-sign-6-of-6", "feel-sign-7-of-8", "feel-sign-8-of-10"])(
    "%s, R's binom.test",
    (name) => {
      const { inputs, expected, tolerance } = fixture<
        { better: number; nonTied: number },
        { p: number }
      >(name);
      const worse = inputs.nonTied - inputs.better;
      expectAbs(signTest(inputs.better, worse), expected.p, tolerance);
      expect(signTest(worse, inputs.better)).toBe(signTest(inputs.better, worse));
    },
  );

  it("reaches 5 % at the counts of Dixon and Mood's table, and not one beyond", () => {
    const { inputs, expected } = table<{ r: readonly number[] }>("crit-sign-test");
    expect(inputs.n).toHaveLength(10);
    for (const [i, n] of inputs.n.entries()) {
      const r = expected.r[i] ?? Number.NaN;
      expect(signTest(n - r, r), `${String(r)} of ${String(n)}`).toBeLessThanOrEqual(0.05);
      expect(signTest(n - r - 1, r + 1), `${String(r + 1)} of ${String(n)}`).toBeGreaterThan(0.05);
    }
  });

  it("is 1 where nothing points anywhere", () => {
    expect(signTest(0, 0)).toBe(1);
    expect(signTest(3, 3)).toBe(1);
  });
});

describe("the signed-rank test", () => {
  it("with ties and a zero: enumeration of all sign patterns", () => {
    const { inputs, expected, tolerance } = fixture<
      { differences: readonly number[] },
      { W: number; nonZero: number; p: number }
    >("feel-signed-rank-midrank");
    const found = signedRank(inputs.differences);
    expect(found.rankSum).toBe(expected.W);
    expect(found.untied).toBe(expected.nonZero);
    expectAbs(found.p, expected.p, tolerance);
  });

  it("without ties: R's wilcox.test", () => {
    const { inputs, expected, tolerance } = fixture<
      { differences: readonly number[] },
      { V: number; p: number }
    >("signed-rank-no-ties");
    const found = signedRank(inputs.differences);
    expect(found.rankSum).toBe(expected.V);
    expectAbs(found.p, expected.p, tolerance);
  });

  it("reaches 5 % at the sums of Wilcoxon and Wilcox's table, and not one beyond", () => {
    const { inputs, expected } = table<{ T: readonly number[] }>("crit-signed-rank");
    expect(inputs.n).toHaveLength(12);
    for (const [i, n] of inputs.n.entries()) {
      const most = expected.T[i] ?? Number.NaN;
      const at = (sum: number) => signedRank(withRankSum(n, sum));
      expect(at(most).rankSum).toBe((n * (n + 1)) / 2 - most);
      expect(at(most).p, `${String(most)} with ${String(n)}`).toBeLessThanOrEqual(0.05);
      expect(at(most + 1).p, `${String(most + 1)} with ${String(n)}`).toBeGreaterThan(0.05);
    }
  });

  it("is 1 with nothing but ties", () => {
    expect(signedRank([0, 0])).toEqual({ rankSum: 0, untied: 0, p: 1 });
  });
});

/** Differences of sizes 1 to n of which those below 0 have this sum of ranks. */
function withRankSum(n: number, sum: number): readonly number[] {
  let left = sum;
  return Array.from({ length: n }, (_, i) => n - i).map((size) => {
    if (size > left) return size;
    left -= size;
    return -size;
  });
}

describe("the range of a share", () => {
  it("agreement-6-of-8, R's binom.test", () => {
    const { inputs, expected, tolerance } = fixture<
      { agree: number; of: number; level: number },
      { share: number; low: number; high: number }
    >("agreement-6-of-8");
    const { share, low, high } = clopperPearson(inputs.agree, inputs.of, inputs.level);
    expectAbs(share, expected.share, tolerance);
    expectAbs(low, expected.low, tolerance);
    expectAbs(high, expected.high, tolerance);
  });

  it("ends at 0 and 1, where 1 - (a/2)^(1/n) is the other end", () => {
    expect(clopperPearson(0, 10, 0.95).low).toBe(0);
    expect(clopperPearson(0, 10, 0.95).high).toBeCloseTo(1 - 0.025 ** 0.1, 12);
    expect(clopperPearson(10, 10, 0.95).high).toBe(1);
    expect(clopperPearson(10, 10, 0.95).low).toBeCloseTo(0.025 ** 0.1, 12);
  });
});
