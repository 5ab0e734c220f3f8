// Time between two passings, with its uncertainty; called for the run and for each split.
import type { Instant } from "./box-instant.ts";
import type { SeenPassing } from "./seen-passing.ts";

/**
 * Path up and down unequal, assumed +-0.5 ms with equal line lengths, rectangular, s.
 *
 * @see JCGM 100:2008, 4.3.7
 */
const PATHS_S = 0.29e-3;
/** chosen: the wall clock is all that links two runs of the laptop's clock. */
const WALL_S = 0.5;

/** Time between two passings. */
export interface Travel {
  readonly us: number;
  /** Standard uncertainty, s. */
  readonly uncertaintyS: number;
  readonly isProvisional: boolean;
  /** Why this time cannot be trusted, in words; null if it can. */
  readonly doubt: string | null;
}

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

/**
 * Time from one passing to another. Within one boot of one box its own clock alone counts; between
 * boxes, both on the same run of the laptop's clock.
 *
 * @see JCGM 100:2008, 5.1.2: uncorrelated parts add as squares
 */
export function travel(from: SeenPassing, to: SeenPassing): Travel {
  const gatesS = Math.hypot(from.gateS, to.gateS);
  const isOneBox = from.box !== null && from.box === to.box && from.boot === to.boot;
  if (isOneBox && from.boxUs !== null && to.boxUs !== null) {
    return {
      us: to.boxUs - from.boxUs,
      uncertaintyS: gatesS,
      isProvisional: false,
      doubt: null,
    };
  }
  const common = commonHost(from.instants, to.instants);
  const [a, b] = common ?? [from.instants[0], to.instants[0]];
  const areBoxes = from.box !== null && to.box !== null;
  const rough = a.isRough ? from : b.isRough ? to : null;
  const linkS = (areBoxes ? PATHS_S : 0) + (common === null ? WALL_S : 0);
  const doubt =
    common === null
      ? "laptop restarted during run"
      : areBoxes && rough !== null
        ? `clock of box ${rough.box ?? ""} not known`
        : null;
  return {
    us: Math.round(b.at - a.at),
    uncertaintyS: Math.hypot(a.uncertaintyS, b.uncertaintyS, gatesS, linkS),
    isProvisional: a.isProvisional || b.isProvisional || common === null,
    doubt,
  };
}
