// Says that two set-ups are the same bike, which tests the method; one of the remarks.
import type { ComparisonInput, Pair } from "../../domain/comparison.ts";
import type { Remark } from "../../domain/remark.ts";
import type { Setup } from "../../domain/session.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { wholePairs } from "./whole-pairs.ts";
import { whose } from "./whose.ts";

/** A note for every two equal set-ups, and one for each rider who has a difference called there. */
export function sameBikes({ input, riders }: RemarkBasis): readonly Remark[] {
  return equalSetups(input.setups).flatMap(([one, other]) => {
    const calls = riders.flatMap((rider) =>
      wholePairs(rider)
        .filter((pair) => isOf(pair, one, other) && isCall(pair))
        .map((pair) => calledRemark(input, rider.rider, pair)),
    );
    return calls.length > 0 ? calls : [testRemark(one, other)];
  });
}

function testRemark(one: Setup, other: Setup): Remark {
  return {
    level: "note",
    kind: "same-bike",
    rider: null,
    setup: other.id,
    run: null,
    text: `${one.id} and ${other.id} are the same set-up: this tests the method; a difference called here would be a false one`,
  };
}

function calledRemark(input: ComparisonInput, rider: string, pair: Pair): Remark {
  const days = String(Math.round(1 / (1 - input.settings.confidence)));
  return {
    level: "note",
    kind: "same-bike",
    rider,
    setup: pair.setup,
    run: null,
    text: `${whose(input, rider)}a difference was called between two equal set-ups, ${pair.baseline} and ${pair.setup}: 1 day in ${days} does that; look for what else changed`,
  };
}

/** Every two with the same values on their sheets; sheets without values declare nothing. */
function equalSetups(setups: readonly Setup[]): readonly (readonly [Setup, Setup])[] {
  const told = setups.filter((setup) => Object.keys(setup.values).length > 0);
  return told.flatMap((one, i) =>
    told
      .slice(i + 1)
      .filter((other) => isEqual(one, other))
      .map((other) => [one, other] as const),
  );
}

function isEqual(one: Setup, other: Setup): boolean {
  const keys = new Set([...Object.keys(one.values), ...Object.keys(other.values)]);
  return (
    [...keys].every((key) => one.values[key] === other.values[key]) &&
    one.weightKg === other.weightKg
  );
}

function isOf(pair: Pair, one: Setup, other: Setup): boolean {
  const ids = [one.id, other.id];
  return ids.includes(pair.setup) && ids.includes(pair.baseline);
}

function isCall({ verdict }: Pair): boolean {
  return verdict === "quicker" || verdict === "slower";
}
