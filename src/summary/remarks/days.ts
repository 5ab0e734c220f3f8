// Says what each day of a merged session found, and whether the days agree; one of the remarks.
import type { ComparisonInput } from "../../domain/comparison.ts";
import type { Remark } from "../../domain/remark.ts";
import type { RiderId, SetupId } from "../../domain/session.ts";
import { type DaysAgreement, daysAgree } from "../../stats/days-agree.ts";
import { setupsOf } from "../../stats/rider-plan.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { signedFigure } from "./seconds-words.ts";

/** chosen: the usual level; it changes no verdict, one warning in twenty is for nothing. */
const HARDLY_CHANCE = 0.05;
/** chosen: a day with fewer may only have begun; with four a pair swapped within it can be told. */
const RUNS_OF_A_DAY = 4;

/** For one rider; for several together, and for each whose own days do not agree. */
export function days({ input }: RemarkBasis): readonly Remark[] {
  if (input.runs.every((run) => run.day === input.runs[0]?.day)) return [];
  const { all: setups, baseline } = setupsOf(input);
  const [only, ...others] = input.riders;
  const isAlone = others.length === 0;
  const everybody = input.riders.map((rider) => rider.id);
  return setups
    .filter((setup) => setup !== baseline)
    .flatMap((setup) => [
      ...remarksOn(input, everybody, setup, isAlone ? (only?.id ?? null) : null, ""),
      ...(isAlone ? [] : input.riders).flatMap(({ id, name }) =>
        remarksOn(input, [id], setup, id, `${name}: `).filter(({ level }) => level === "warn"),
      ),
    ]);
}

function remarksOn(
  input: ComparisonInput,
  riders: readonly RiderId[],
  setup: SetupId,
  rider: RiderId | null,
  whose: string,
): readonly Remark[] {
  const { baseline } = setupsOf(input);
  const agreement = daysAgree(input, riders, setup, baseline);
  const about = { kind: "days", rider, setup, run: null };
  const silent = agreement.days
    .filter((day) => day.differenceS === null && day.runs + day.baselineRuns >= RUNS_OF_A_DAY)
    .map(({ day }): Remark => {
      const what = `day ${String(day + 1)} says nothing about ${setup} and ${baseline}`;
      return { ...about, level: "warn", text: `${whose}${what}: swap between them within the day` };
    });
  const answer = answerOf(agreement, setup, whose);
  return answer === null ? silent : [...silent, { ...about, ...answer }];
}

/** Null while fewer than two days can tell the set-ups apart. */
function answerOf(
  { days: all, commonS, test }: DaysAgreement,
  setup: SetupId,
  whose: string,
): Pick<Remark, "level" | "text"> | null {
  const found = all.flatMap(({ day, differenceS }) =>
    differenceS === null ? [] : `${signedFigure(differenceS)} s on day ${String(day + 1)}`,
  );
  if (found.length < 2 || commonS === null) return null;
  const figures = `${setup} ${found.join(", ")} (${signedFigure(commonS)} s over all)`;
  if (test === null) {
    return {
      level: "note",
      text: `${whose}too few runs to tell whether the days agree: ${figures}`,
    };
  }
  return test.p < HARDLY_CHANCE
    ? { level: "warn", text: `${whose}days do not agree: ${figures}: what else was different?` }
    : { level: "note", text: `${whose}days agree: ${figures}` };
}
