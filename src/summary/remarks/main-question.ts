// Says whose band is the narrower by declaration; one of the remarks.
import type { Remark } from "../../domain/remark.ts";
import { setupsOf } from "../../stats/rider-plan.ts";
import type { RemarkBasis } from "./remark-basis.ts";

/** One note where the day is about one of several set-ups. */
export function mainQuestion({ input }: RemarkBasis): readonly Remark[] {
  const { mainSetup } = input.settings;
  const { all, baseline } = setupsOf(input);
  const others = all.filter((setup) => setup !== baseline && setup !== mainSetup);
  if (mainSetup === null || !all.includes(mainSetup) || others.length === 0) return [];
  const wider = others.length === 1 ? "its band is wider" : "their bands are wider";
  return [
    {
      level: "note",
      kind: "main-question",
      rider: null,
      setup: mainSetup,
      run: null,
      text: `the day is about ${mainSetup}, as declared before run 1: its band is narrower for it; ${others.join(", ")}: ${wider}`,
    },
  ];
}
