// Everything that can be said after so many runs: differences, bands and verdicts of every part;
// called by replay.ts after each run and by compare.ts, together.ts and rider-fit.ts at the last.
import type { Verdict } from "../domain/comparison.ts";
import type { SetupId, SpreadKind } from "../domain/session.ts";
import { type Limits, multipliersAt } from "./band-in-force.ts";
import { type PairEstimate, plainEstimate, sectorwiseEstimate } from "./pair-estimate.ts";
import { type BankedDesign, bankedDesign, type PartFit, partFit } from "./part-fit.ts";
import type { RowBank, RunClass } from "./row-bank.ts";
import { type SectorwiseFit, sectorwiseFit } from "./sector-void.ts";
import { type Judged, verdictOf } from "./verdict.ts";

/** What decides whether a run is in a fit. */
export type RunKind = Pick<RunClass, "hasSectors" | "voidSectors">;

/** Which runs a fit uses: all counted ones, those with nothing struck out, or a sector's. */
export type RunChoice = "all" | "untouched" | "untouched-with-splits" | { readonly sector: number };

/** Whether a run belongs to a choice. */
export function isChosen(choice: RunChoice, run: RunKind): boolean {
  if (choice === "all") return true;
  const isUntouched = run.voidSectors.length === 0;
  if (choice === "untouched") return isUntouched;
  if (choice === "untouched-with-splits") return isUntouched && run.hasSectors;
  return run.hasSectors && !run.voidSectors.includes(choice.sector);
}

export interface LookSettings {
  readonly spreads: SpreadKind;
  /** s; null: never `no-difference`. */
  readonly marginS: number | null;
  /** Set-ups that were new to a rider. */
  readonly newSetups: ReadonlySet<SetupId>;
}

/** A pair at a look. */
export interface PairLook {
  readonly estimate: PairEstimate;
  readonly choice: RunChoice;
  /** Infinity: too early. */
  readonly multiplier: number;
  /** Infinity: too early. */
  readonly innerMultiplier: number;
  readonly verdict: Verdict;
}

/** The state of a bank, with each fit worked out once and only when asked for. */
export class Look {
  readonly #bank: RowBank;
  readonly #settings: LookSettings;
  readonly #designs = new Map<string, BankedDesign>();
  readonly #fits = new Map<string, PartFit>();
  readonly #sectorwise = new Map<string, SectorwiseFit | undefined>();

  /** Valid until the next run is added to the bank. */
  constructor(bank: RowBank, settings: LookSettings) {
    this.#bank = bank;
    this.#settings = settings;
  }

  /**
   * The whole run fitted over all counted runs, sector by sector where something is struck out;
   * over the untouched runs where that cannot be done.
   */
  wholeFit(): PartFit | SectorwiseFit {
    const all = this.#sectorwiseFit(null);
    return all ?? this.#fit(this.#hasStruckOut(null) ? "untouched" : "all", null, 0);
  }

  /**
   * A pair with its bands and verdict.
   *
   * @param part - 0 the whole run, 1, 2, ... the sectors; the margin applies to the whole run only
   */
  pair(part: number, candidate: SetupId, baseline: SetupId, limits: Limits): PairLook {
    const { estimate, choice } = this.#estimate(part, candidate, baseline, null);
    const judged = judge(estimate, limits);
    const verdict = verdictOf(judged, part === 0 ? this.#settings.marginS : null);
    const slowOne = verdict === "slower" ? candidate : verdict === "quicker" ? baseline : null;
    const isHeldBack =
      slowOne !== null &&
      this.#settings.newSetups.has(slowOne) &&
      !this.#holdsWithoutFirstRuns(part, candidate, baseline, limits, slowOne, verdict);
    return {
      estimate,
      choice,
      multiplier: judged?.multiplier ?? Number.POSITIVE_INFINITY,
      innerMultiplier: judged?.innerMultiplier ?? Number.POSITIVE_INFINITY,
      verdict: isHeldBack ? "cannot-tell" : verdict,
    };
  }

  /**
   * A set-up that was new to the rider is only slower if it still is without its first two counted
   * runs, at the same thresholds: those runs are slow for other reasons.
   */
  #holdsWithoutFirstRuns(
    part: number,
    candidate: SetupId,
    baseline: SetupId,
    limits: Limits,
    newSetup: SetupId,
    verdict: Verdict,
  ): boolean {
    const { estimate } = this.#estimate(part, candidate, baseline, newSetup);
    return verdictOf(judge(estimate, limits), null) === verdict;
  }

  #estimate(
    part: number,
    candidate: SetupId,
    baseline: SetupId,
    without: SetupId | null,
  ): { readonly estimate: PairEstimate; readonly choice: RunChoice } {
    const { spreads } = this.#settings;
    const plain = (choice: RunChoice): { estimate: PairEstimate; choice: RunChoice } => ({
      estimate: plainEstimate(this.#fit(choice, without, part), candidate, baseline, spreads),
      choice,
    });
    const own: RunChoice = part === 0 ? "all" : { sector: part };
    if (!this.#hasStruckOut(without)) return plain(own);
    const sectorwise = this.#sectorwiseFit(without);
    const whole = sectorwise && sectorwiseEstimate(sectorwise, candidate, baseline, spreads);
    if (whole === undefined) return plain(part === 0 ? "untouched" : "untouched-with-splits");
    return part === 0 ? { estimate: whole, choice: "all" } : plain(own);
  }

  #hasStruckOut(without: SetupId | null): boolean {
    return this.#bank.classes.some((r) => r.voidSectors.length > 0 && !isLeftOut(r, without));
  }

  #sectorwiseFit(without: SetupId | null): SectorwiseFit | undefined {
    if (!this.#hasStruckOut(without)) return undefined;
    const key = without ?? "";
    if (!this.#sectorwise.has(key)) {
      const classes = this.#bank.classes.filter((runs) => !isLeftOut(runs, without));
      this.#sectorwise.set(key, sectorwiseFit(this.#bank, classes));
    }
    return this.#sectorwise.get(key);
  }

  #fit(choice: RunChoice, without: SetupId | null, part: number): PartFit {
    const all = this.#bank.classes;
    const classes = all.filter((runs) => isChosen(choice, runs) && !isLeftOut(runs, without));
    const designKey = classes.map((runs) => all.indexOf(runs)).join();
    const key = `${designKey} ${String(part)}`;
    const known = this.#fits.get(key);
    if (known !== undefined) return known;
    const design = this.#designs.get(designKey) ?? bankedDesign(this.#bank, classes);
    this.#designs.set(designKey, design);
    const fit = partFit(design, part);
    this.#fits.set(key, fit);
    return fit;
  }
}

/** A pair's figures with its multipliers; undefined where there is no error to multiply. */
function judge(estimate: PairEstimate, limits: Limits): Judged | undefined {
  const { figures } = estimate;
  if (figures?.error == null || figures.isTooEarly) return undefined;
  const { standardErrorS, df } = figures.error;
  return {
    differenceS: figures.differenceS,
    standardErrorS,
    ...multipliersAt(limits, df, figures.z2),
  };
}

function isLeftOut(runs: RunClass, without: SetupId | null): boolean {
  return runs.isEarlyOnNew && runs.setup === without;
}
