// Counts over simulated days, which add up whoever counted them; called by judge-day.ts and by
// calibrate.ts.

/** Edges of the classes of predicted chances. */
const EDGES = [0.1, 0.3, 0.5, 0.7, 0.9] as const;

/** What came of the forecasts in one class of chances. */
interface ForecastBin {
  days: number;
  /** Sum of the predicted chances. */
  predicted: number;
  /** Days on which a verdict came within the plan. */
  observed: number;
}

/** The forecasts made after so many counted runs. */
export interface ForecastTally {
  readonly atRun: number;
  readonly bins: readonly ForecastBin[];
  /** Days on which a number of runs was named. */
  named: number;
  /** Days among them on which the verdict had come by then. */
  cameTrue: number;
}

/** Counts of what was said at some look, any pair. */
export interface VerdictTally {
  /** Days with a difference called. */
  called: number;
  /** Days with a wrong verdict. */
  wrong: number;
  /** Days with "no difference". */
  noDifference: number;
}

export interface Tally extends VerdictTally {
  days: number;
  /** Of all riders together, where they are three or more. */
  readonly together: VerdictTally;
  /** Days decided, the true best leading. */
  decided: number;
  /** Days decided with a wrong verdict of the leader's. */
  decidedWrong: number;
  /** Sums over days up to the decision or the end. */
  runs: number;
  swaps: number;
  minutes: number;
  /** Empty where no forecast is put to the test. */
  readonly forecasts: readonly ForecastTally[];
}

/** @param forecastRuns - counted runs after which forecasts are made */
export function emptyTally(forecastRuns: readonly number[]): Tally {
  return {
    days: 0,
    called: 0,
    wrong: 0,
    noDifference: 0,
    together: { called: 0, wrong: 0, noDifference: 0 },
    decided: 0,
    decidedWrong: 0,
    runs: 0,
    swaps: 0,
    minutes: 0,
    forecasts: forecastRuns.map((atRun) => ({
      atRun,
      bins: [...EDGES, 1].map(() => ({ days: 0, predicted: 0, observed: 0 })),
      named: 0,
      cameTrue: 0,
    })),
  };
}

/** Notes a forecast and what became of it. */
export function noteForecast(tally: ForecastTally, chance: number, isVerdict: boolean): void {
  const place = EDGES.findIndex((edge) => chance < edge);
  const bin = tally.bins[place < 0 ? EDGES.length : place];
  if (bin === undefined) throw new RangeError("a forecast has a class");
  bin.days += 1;
  bin.predicted += chance;
  bin.observed += isVerdict ? 1 : 0;
}

/** The sum; what is added in the same order gives the same digits. */
export function sumOf(tallies: readonly Tally[], forecastRuns: readonly number[]): Tally {
  const sum = emptyTally(forecastRuns);
  for (const tally of tallies) {
    sum.days += tally.days;
    addVerdicts(sum, tally);
    addVerdicts(sum.together, tally.together);
    sum.decided += tally.decided;
    sum.decidedWrong += tally.decidedWrong;
    sum.runs += tally.runs;
    sum.swaps += tally.swaps;
    sum.minutes += tally.minutes;
    sum.forecasts.forEach((into, i) => {
      const from = tally.forecasts[i];
      if (from !== undefined) addForecasts(into, from);
    });
  }
  return sum;
}

function addVerdicts(into: VerdictTally, from: VerdictTally): void {
  into.called += from.called;
  into.wrong += from.wrong;
  into.noDifference += from.noDifference;
}

function addForecasts(into: ForecastTally, from: ForecastTally): void {
  into.named += from.named;
  into.cameTrue += from.cameTrue;
  into.bins.forEach((bin, i) => {
    const other = from.bins[i];
    if (other === undefined) return;
    bin.days += other.days;
    bin.predicted += other.predicted;
    bin.observed += other.observed;
  });
}
