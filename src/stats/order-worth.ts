// What the order of the runs is worth to every pair beside swapping back and forth; called by the
// remark on orders in halves.
import type { DriftModel, SetupId } from "../domain/session.ts";
import { type DesignRow, designFactor, layoutOf, planningOrder, setupContrast } from "./design.ts";
import { type DesignFigures, designsAhead } from "./forecast.ts";
import { contrastWeights } from "./least-squares.ts";

/**
 * Under this share of the information an order is called one in halves: the band is wider by a
 * factor of 1.4 at least. chosen: AAAA BBBB keeps a quarter, nearly every order that goes back and
 * forth more than half; test/stats/order-worth.test.ts.
 */
const LITTLE = 0.5;
/** Runs of the pair before which no order can have gone back and forth. */
const FEWEST_RUNS = 4;

interface SetupPair {
  readonly candidate: SetupId;
  readonly baseline: SetupId;
}

export interface OrderWorth {
  /** One set-up first, then the other: never swapped back. */
  readonly isOneChange: boolean;
  /**
   * Whether that is so, or session drift takes half of the pair's information or more, which
   * swapping back and forth would not have let it.
   */
  readonly isInHalves: boolean;
  /** Swapping back and forth in the same places of every day; given for an order in halves. */
  readonly alternating: DesignFigures | undefined;
}

/**
 * Holds the order of the runs against the mirrored one over the same days and places. Without a
 * trend in the model the two are compared as if there were one: what a model passes over can
 * happen all the same.
 *
 * @param rows - all counted runs of one rider, in order
 * @param setups - set-ups among them, baseline first
 * @returns one for each of `pairs`
 */
export function orderWorths(
  rows: readonly DesignRow[],
  setups: readonly SetupId[],
  drift: DriftModel,
  pairs: readonly SetupPair[],
): readonly OrderWorth[] {
  const checked = drift === "none" ? "linear" : drift;
  const ridden = information(rows, setups, checked, pairs);
  // Few runs of one set-up are another fault: what they could give in any order is the measure.
  const inAnyOrder = information(rows, setups, "none", pairs);
  const orders = pairs.map((pair, p) => {
    const own = rows.filter((row) => row.setup === pair.candidate || row.setup === pair.baseline);
    const changes = own.filter((row, i) => i > 0 && row.setup !== own[i - 1]?.setup).length;
    const z2 = ridden[p] ?? 0;
    const most = inAnyOrder[p];
    const isPoor = most === undefined || z2 < LITTLE * most;
    return { isOneChange: changes === 1, isPoor, z2, isEnough: own.length >= FEWEST_RUNS };
  });
  const isAnyDoubtful = orders.some((order) => isDoubtful(order));
  const mirrored = isAnyDoubtful ? alternatingRows(rows, setups) : [];
  const figures = (model: DriftModel): readonly (DesignFigures | undefined)[] =>
    isAnyDoubtful ? (designsAhead(mirrored, [], setups, model, pairs)[0] ?? []) : [];
  const swapping = figures(checked);
  const inModel = checked === drift ? swapping : figures(drift);
  return orders.map((order, p) => {
    const isWorse = order.z2 < LITTLE * (swapping[p]?.z2 ?? 0);
    const isInHalves = isDoubtful(order) && (order.isOneChange || isWorse);
    return {
      isOneChange: order.isOneChange,
      isInHalves,
      alternating: isInHalves ? inModel[p] : undefined,
    };
  });
}

function isDoubtful(order: {
  readonly isOneChange: boolean;
  readonly isPoor: boolean;
  readonly isEnough: boolean;
}): boolean {
  return order.isEnough && (order.isOneChange || order.isPoor);
}

/** z2 of every pair; undefined where the design does not determine it. */
function information(
  rows: readonly DesignRow[],
  setups: readonly SetupId[],
  drift: DriftModel,
  pairs: readonly SetupPair[],
): readonly (number | undefined)[] {
  const layout = layoutOf(rows, setups, drift);
  const factor = designFactor(layout, rows);
  return pairs.map(({ candidate, baseline }) => {
    const contrast = setupContrast(layout, candidate, baseline);
    return contrast && contrastWeights(factor, contrast)?.z2;
  });
}

/** The mirrored order of the set-ups in the places that were ridden, each day from its beginning. */
function alternatingRows(
  rows: readonly DesignRow[],
  setups: readonly SetupId[],
): readonly DesignRow[] {
  return [...new Set(rows.map((row) => row.block))].flatMap((block) => {
    const day = rows.filter((row) => row.block === block);
    const order = planningOrder(setups, day.length);
    return day.map((row, i) => ({ ...row, setup: order[i] ?? row.setup }));
  });
}
