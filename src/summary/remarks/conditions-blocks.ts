// Says what each part of the day between marks of the conditions or of a gate found, and whether the
// parts agree; one of the remarks. For orientation: it claims nothing.
import type { ComparisonInput, Pair } from "../../domain/comparison.ts";
import type { DayBlock } from "../../domain/day-facts.ts";
import type { Remark } from "../../domain/remark.ts";
import type { RiderId, SetupId } from "../../domain/session.ts";
import { compareRiders } from "../../stats/compare.ts";
import { sortedRuns } from "../../stats/counted-runs.ts";
import { daysAgree } from "../../stats/days-agree.ts";
import { setupsOf } from "../../stats/rider-plan.ts";
import { compareTogether } from "../../stats/together.ts";
import { factsOf } from "./facts-of.ts";
import type { RemarkBasis } from "./remark-basis.ts";
import { plainSeconds, signedFigure } from "./seconds-words.ts";
import { wholePairs } from "./whole-pairs.ts";
import { whose } from "./whose.ts";

/** chosen: the usual level; it changes no verdict, one word of disagreement in twenty is for nothing. */
const HARDLY_CHANCE = 0.05;
/** chosen: with one run of a set-up a block's answer is that run's; conditions-blocks.test.ts. */
const FEWEST_RUNS = 2;

/** The runs of one block as a session of their own, and what it is called. */
interface Block {
  readonly name: string;
  readonly input: ComparisonInput;
  /** All its answers, worked out when the first is asked for. */
  readonly pairs: () => AnswersOfBlock;
}

interface AnswersOfBlock {
  readonly own: ReadonlyMap<RiderId, readonly Pair[]>;
  readonly together: readonly Pair[];
}

/** For one rider; for several together, and for each whose own blocks do not agree. */
export function conditionsBlocks({ input }: RemarkBasis): readonly Remark[] {
  const { blocks: found } = factsOf(input);
  if (found.length < 2) return [];
  const blocks = found.map((block, i) => blockOf(input, found, block, i));
  const { all, baseline } = setupsOf(input);
  const everybody = input.riders.map(({ id }) => id);
  const [only] = everybody;
  return all
    .filter((setup) => setup !== baseline)
    .flatMap((setup) => {
      const on = (riders: readonly RiderId[], rider: RiderId | null): readonly Remark[] =>
        remarkOn(input, blocks, { riders, rider, setup, baseline });
      if (everybody.length === 1) return on(everybody, only ?? null);
      const own = everybody.flatMap((rider) => on([rider], rider));
      return [...on(everybody, null), ...own.filter(({ level }) => level === "warn")];
    });
}

interface Question {
  readonly riders: readonly RiderId[];
  /** Null: all of them together. */
  readonly rider: RiderId | null;
  readonly setup: SetupId;
  readonly baseline: SetupId;
}

function remarkOn(
  input: ComparisonInput,
  blocks: readonly Block[],
  { riders, rider, setup, baseline }: Question,
): readonly Remark[] {
  const told = blocks.filter(({ input: own }) => isRidden(own, riders, [setup, baseline]));
  const answers = told.flatMap(({ name, pairs }) => {
    const { own, together } = pairs();
    const pair = (rider === null ? together : (own.get(rider) ?? [])).find(
      (each) => each.setup === setup,
    );
    return pair?.difference_s == null ? [] : [`${name}: ${answerWords(pair, pair.difference_s)}`];
  });
  if (answers.length < 2) return [];
  const p = agreement(input, told, { riders, rider, setup, baseline });
  const isApart = p !== null && p < HARDLY_CHANCE;
  const agree =
    p === null
      ? "too few runs to tell whether they agree"
      : isApart
        ? "they do not agree as far as these runs can tell"
        : "they agree as far as these runs can tell";
  const of = rider === null ? "" : whose(input, rider);
  const text = `${of}${answers.join("; ")}: ${agree}; each for orientation, by its own runs alone`;
  // A rider's own disagreement is worth a warning only beside the answer of all.
  const level = isApart && rider !== null && input.riders.length > 1 ? "warn" : "note";
  return [{ level, kind: "conditions-blocks", rider, setup, run: null, text }];
}

function isRidden(
  input: ComparisonInput,
  riders: readonly RiderId[],
  setups: readonly SetupId[],
): boolean {
  const { counted } = sortedRuns(input, riders);
  return setups.every((id) => counted.filter(({ setup }) => setup === id).length >= FEWEST_RUNS);
}

function answerWords({ setup, band_s: band }: Pair, differenceS: number): string {
  const direction = differenceS < 0 ? "quicker" : "slower";
  const between =
    band === null
      ? "too few runs for more"
      : `between ${signedFigure(band[0])} and ${signedFigure(band[1])}`;
  return `${setup} ${direction} by ${plainSeconds(differenceS)} (${between})`;
}

/** Chance of blocks that differ by as much where the set-ups do the same in each; null: not to be told. */
function agreement(
  input: ComparisonInput,
  blocks: readonly Block[],
  { riders, setup, baseline }: Question,
): number | null {
  // Each block as a day of its own: a level and a trend each.
  const runs = blocks.flatMap(({ input: own }, day) => own.runs.map((run) => ({ ...run, day })));
  return daysAgree({ ...input, runs }, riders, setup, baseline).test?.p ?? null;
}

/** The open band: nothing was promised for a block before it was ridden. */
function blockOf(
  input: ComparisonInput,
  blocks: readonly DayBlock[],
  block: DayBlock,
  i: number,
): Block {
  const ids = new Set(block.runs);
  const own: ComparisonInput = {
    ...input,
    settings: { ...input.settings, bands: "open", plannedRuns: null, marginS: null },
    riders: input.riders.map((rider) => ({ ...rider, plannedRuns: null })),
    plannedEnds: [],
    isClosed: false,
    runs: input.runs.filter(({ runId }) => ids.has(runId)),
  };
  let answers: AnswersOfBlock | undefined;
  return {
    name: blockName(blocks, block, i),
    input: own,
    pairs: () => {
      answers ??= {
        own: new Map(compareRiders(own).map((rider) => [rider.rider, wholePairs(rider)])),
        together: compareTogether(own)?.pairs ?? [],
      };
      return answers;
    },
  };
}

function blockName(blocks: readonly DayBlock[], { day, opened }: DayBlock, i: number): string {
  const isOneDay = blocks.every((each) => each.day === day);
  const on = isOneDay ? "" : ` on day ${String(day + 1)}`;
  if (opened !== null) return `after ${markName(opened)}${on}`;
  const next = blocks[i + 1];
  if (next?.day !== day || next.opened === null) return `day ${String(day + 1)}`;
  return `before ${markName(next.opened)}${on}`;
}

function markName({ kind, text }: NonNullable<DayBlock["opened"]>): string {
  const said = text.trim() === "" ? "" : ` "${text.trim()}"`;
  return kind === "gate-moved" ? `a gate was moved${said}` : `the mark${said}`;
}
