// Warns when a set-up that is new to its rider had too little practice, and says when a verdict was
// held back for that; two of the remarks.
import { PRACTICE_RUNS } from "../../advisor/practice-runs.ts";
import type { ComparisonInput, Pair, RiderComparison } from "../../domain/comparison.ts";
import type { Remark } from "../../domain/remark.ts";
import type { Rider, RiderId, SetupId } from "../../domain/session.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { wholePairs } from "./whole-pairs.ts";
import { riderName, whose } from "./whose.ts";

/** Warnings about practice, and notes about verdicts held back, rider by rider and together. */
export function newToRiders({ input, riders, together }: RemarkBasis): readonly Remark[] {
  const own = input.riders.flatMap((rider) => {
    const pairs = pairsOf(riders, rider.id);
    return [
      ...rider.newTo.flatMap((setup) => practiceRemark(input, rider, setup, pairs)),
      ...heldBack(input, rider.id, pairs, rider.newTo),
    ];
  });
  const anybodys = input.riders.flatMap((rider) => rider.newTo);
  return [...own, ...heldBack(input, null, together?.pairs ?? [], anybodys)];
}

function pairsOf(riders: readonly RiderComparison[], rider: RiderId): readonly Pair[] {
  const found = riders.find((each) => each.rider === rider);
  return found === undefined ? [] : wholePairs(found);
}

function practiceRemark(
  input: ComparisonInput,
  rider: Rider,
  setup: SetupId,
  pairs: readonly Pair[],
): readonly Remark[] {
  const own = input.runs.filter((run) => run.rider === rider.id && run.setup === setup);
  const firstCounted = own.findIndex((run) => run.status === "ok");
  if (firstCounted < 0 || isQuick(setup, pairs)) return [];
  const before = own.slice(0, firstCounted).filter((run) => run.status === "warm-up").length;
  if (before >= PRACTICE_RUNS) return [];
  const runs = before === 1 ? "run" : "runs";
  return [
    {
      level: "warn",
      kind: "new-to-rider",
      rider: rider.id,
      setup,
      run: null,
      text: `${setup} is new to ${riderName(input, rider.id)}: ${String(before)} practice ${runs} of ${String(PRACTICE_RUNS)}; a slower ${setup} may only be unfamiliar`,
    },
  ];
}

/** Quicker though it was new: nothing is left to warn of. */
function isQuick(setup: SetupId, pairs: readonly Pair[]): boolean {
  const against = pairs.filter((pair) => pair.setup === setup || pair.baseline === setup);
  const quick = against.map((pair) => (pair.setup === setup ? "quicker" : "slower"));
  return against.length > 0 && against.every((pair, i) => pair.verdict === quick[i]);
}

/** Pairs whose band leaves 0 out on the slow side of a new set-up, but which stay open. */
function heldBack(
  input: ComparisonInput,
  rider: RiderId | null,
  pairs: readonly Pair[],
  newTo: readonly SetupId[],
): readonly Remark[] {
  return pairs.flatMap((pair): readonly Remark[] => {
    if (pair.verdict !== "cannot-tell" || pair.band_s === null) return [];
    const [lowS, highS] = pair.band_s;
    const slow = lowS > 0 ? pair.setup : highS < 0 ? pair.baseline : null;
    if (slow === null || !newTo.includes(slow)) return [];
    const who = rider === null ? "a rider" : "the rider";
    const name = rider === null ? "" : whose(input, rider);
    return [
      {
        level: "note",
        kind: "new-to-rider",
        rider,
        setup: slow,
        run: null,
        text: `${name}${slow} looks slower, but not without its first two runs: ${slow} was new to ${who}`,
      },
    ];
  });
}
