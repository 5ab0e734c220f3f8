// Time between two passings, with its uncertainty and what that is made of; called for the run, for
// each split, and by the budget that is shown.
import type { GatePart, Instant, Passing } from "../domain/passing.ts";
import { combinedUncertainty, rectangular } from "./combined-uncertainty.ts";

/** chosen: paths up and down with equal line lengths and like modems differ by no more, +-s. */
const PATHS_S = 0.5e-3;
/** chosen: the wall clock is all that links two runs of the laptop's clock. */
const WALL_S = 0.5;

/**
 * One part of the uncertainty of a time. `clock`: a box's clock fitted to the laptop's. `paths`: the
 * two ways to a box take unequal time, which no exchange shows. `laptop`: the laptop's clock started
 * anew in between. The others are a gate's.
 */
export interface TimePart {
  readonly kind: "clock" | "paths" | "laptop" | GatePart["kind"];
  readonly at: "from" | "to" | "both";
  /** Anywhere within plus or minus this alike, s; null where the standard uncertainty itself is known. */
  readonly halfWidthS: number | null;
  /** Standard uncertainty, s. */
  readonly uncertaintyS: number;
  /** The same in all runs between these gates: it cancels in a difference of two of them. */
  readonly isCommon: boolean;
}

/** Time between two passings. */
export interface Travel {
  readonly us: number;
  /** Standard uncertainty, s: that of all parts together. */
  readonly uncertaintyS: number;
  readonly parts: readonly TimePart[];
  readonly isProvisional: boolean;
  /** Why this time cannot be trusted, in words; null if it can. */
  readonly doubt: string | null;
}

/** What a time needs of its passings. */
export type TimedPassing = Pick<Passing, "box" | "boxUs" | "clock" | "instants" | "gateParts">;

function commonHost(
  from: readonly Instant[],
  to: readonly Instant[],
): readonly [Instant, Instant] | null {
  let best: readonly [Instant, Instant] | null = null;
  let bestS = Number.POSITIVE_INFINITY;
  for (const a of from) {
    for (const b of to) {
      const s = Math.hypot(a.uncertaintyS, b.uncertaintyS);
      const isCommon = a.host === b.host || a.host === null || b.host === null;
      if (isCommon && s < bestS) {
        best = [a, b];
        bestS = s;
      }
    }
  }
  return best;
}

function gatePartsOf(from: TimedPassing, to: TimedPassing): readonly TimePart[] {
  const at = (side: "from" | "to", parts: readonly GatePart[]): readonly TimePart[] =>
    parts.map((part) => ({ ...part, at: side, isCommon: false }));
  return [...at("from", from.gateParts), ...at("to", to.gateParts)];
}

/** Of two boxes: what no exchange shows is bounded by half of each one's least round trip. */
function pathsPart(a: Instant, b: Instant): TimePart {
  const halfWidthS = Math.min(PATHS_S, (a.leastTripS + b.leastTripS) / 2);
  const uncertaintyS = rectangular(halfWidthS);
  return { kind: "paths", at: "both", halfWidthS, uncertaintyS, isCommon: true };
}

function known(kind: "clock" | "laptop", at: TimePart["at"], uncertaintyS: number): TimePart {
  return { kind, at, halfWidthS: null, uncertaintyS, isCommon: false };
}

/** Nothing in one run depends on anything else in it. */
function together(parts: readonly TimePart[]): number {
  return combinedUncertainty(parts.map(({ uncertaintyS: u }) => ({ sensitivity: 1, u })));
}

/**
 * Time from one passing to another. On one clock (one boot of one box, or one receiver that stands for
 * several) that alone counts; between clocks, both on the same run of the laptop's clock.
 *
 * @see JCGM 100:2008, 5.1.2: uncorrelated parts add as squares
 */
export function travel(from: TimedPassing, to: TimedPassing): Travel {
  const gates = gatePartsOf(from, to);
  const isOneClock = from.clock !== null && from.clock === to.clock;
  if (isOneClock && from.boxUs !== null && to.boxUs !== null) {
    return {
      us: to.boxUs - from.boxUs,
      uncertaintyS: together(gates),
      parts: gates,
      isProvisional: false,
      doubt: null,
    };
  }
  const common = commonHost(from.instants, to.instants);
  const [a, b] = common ?? [from.instants[0], to.instants[0]];
  const areBoxes = from.box !== null && to.box !== null;
  const rough = a.isRough ? from : b.isRough ? to : null;
  const doubt =
    common === null
      ? "laptop restarted during run"
      : areBoxes && rough !== null
        ? `clock of box ${rough.box ?? ""} not known`
        : null;
  const parts = [
    ...(from.box === null ? [] : [known("clock", "from", a.uncertaintyS)]),
    ...(to.box === null ? [] : [known("clock", "to", b.uncertaintyS)]),
    ...(areBoxes ? [pathsPart(a, b)] : []),
    ...gates,
    ...(common === null ? [known("laptop", "both", WALL_S)] : []),
  ];
  return {
    us: Math.round(b.at - a.at),
    uncertaintyS: together(parts),
    parts,
    isProvisional: a.isProvisional || b.isProvisional || common === null,
    doubt,
  };
}
