// What a set-up weighs and costs beside the baseline, and whether it has shown what it must gain; one
// of the remarks.
import type { ComparisonInput, Pair } from "../../domain/comparison.ts";
import type { Remark } from "../../domain/remark.ts";
import type { Setup } from "../../domain/session.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { answerPairs } from "./whole-pairs.ts";
import { whose } from "./whose.ts";

/** One note for each answer and set-up that something was said about. */
export function worthOf(basis: RemarkBasis): readonly Remark[] {
  const { input } = basis;
  return answerPairs(basis).flatMap(({ rider, pairs }) =>
    pairs.flatMap((pair): readonly Remark[] => {
      const setup = input.setups.find((each) => each.id === pair.setup);
      const baseline = input.setups.find((each) => each.id === pair.baseline);
      if (setup === undefined || baseline === undefined) return [];
      if (pair.runs === 0 || pair.baseline_runs === 0) return [];
      const said = [priceWords(setup, baseline), gainWords(input, setup, baseline, pair)]
        .filter((words) => words !== "")
        .join("; ");
      if (said === "") return [];
      const who = rider === null ? "" : whose(input, rider);
      const text = `${who}${said}`;
      return [{ level: "note", kind: "worth", rider, setup: setup.id, run: null, text }];
    }),
  );
}

/** `B weighs 0.4 kg more and costs 120 more`; empty if nothing is known or nothing differs. */
function priceWords(setup: Setup, baseline: Setup): string {
  const words = [
    ...beside("weighs", setup.weightKg, baseline.weightKg, " kg"),
    ...beside("costs", setup.price, baseline.price, ""),
  ];
  return words.length === 0 ? "" : `${setup.id} ${words.join(" and ")}`;
}

/** To a hundredth; the figure itself where the baseline has none. */
function beside(
  verb: string,
  own: number | null,
  baseline: number | null,
  unit: string,
): readonly string[] {
  if (own === null) return [];
  if (baseline === null) return [`${verb} ${figure(own)}${unit}`];
  const more = Math.round((own - baseline) * 100) / 100;
  if (more === 0) return [];
  return [`${verb} ${figure(more)}${unit} ${more > 0 ? "more" : "less"}`];
}

/**
 * `you said it must gain 1.5 s: not shown yet`. The session's margin stands in for a set-up without
 * a worth of its own, but only beside a price: alone it is what the verdict speaks about.
 */
function gainWords(input: ComparisonInput, setup: Setup, baseline: Setup, pair: Pair): string {
  const hasPrice = priceWords(setup, baseline) !== "";
  const worthS = setup.worthS ?? (hasPrice ? input.settings.marginS : null);
  if (worthS === null) return "";
  const what = hasPrice ? "it" : setup.id;
  return `you said ${what} must gain ${figure(worthS)} s: ${shownWords(pair, worthS, input.isClosed)}`;
}

function shownWords(pair: Pair, worthS: number, isClosed: boolean): string {
  if (pair.band_s !== null && pair.band_s[1] < -worthS) return "shown";
  if (pair.band_s !== null && pair.band_s[0] > -worthS) return "not reached";
  return isClosed ? "not shown" : "not shown yet";
}

function figure(value: number): string {
  return String(Math.round(Math.abs(value) * 100) / 100);
}
