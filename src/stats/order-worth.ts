// What the order of the runs is worth to a pair beside swapping back and forth; called by the remark
// on orders in halves.
import type { DriftModel, SetupId } from "../domain/session.ts";
import { type DesignRow, planningOrder } from "./design.ts";
import { type DesignFigures, designsAhead } from "./forecast.ts";

/**
 * Under this share of the information an order is called one in halves: the band is wider by a
 * factor of 1.4 at least. chosen: AAAA BBBB keeps a quarter, any order that goes back and forth more
 * than half; test/stats/order-worth.test.ts.
 */
const LITTLE = 0.5;
/** Runs of the pair before which no order can have gone back and forth. */
const FEWEST_RUNS = 4;

export interface OrderWorth {
  /** One set-up first, then the other: never swapped back. */
  readonly isOneChange: boolean;
  /**
   * Whether that is so, or session drift takes half of the pair's information or more, which
   * swapping back and forth would not have let it.
   */
  readonly isInHalves: boolean;
  /** Swapping back and forth as often as there were runs, every day for itself. */
  readonly alternating: DesignFigures | undefined;
}

/**
 * Holds the order of a pair's runs against the mirrored one over the same days and places. Without a
 * trend in the model the two are compared as if there were one: what a model passes over can
 * happen all the same.
 *
 * @param rows - all counted runs of one rider, in order
 * @param setups - set-ups among them, baseline first
 */
export function orderWorth(
  rows: readonly DesignRow[],
  setups: readonly SetupId[],
  drift: DriftModel,
  candidate: SetupId,
  baseline: SetupId,
): OrderWorth {
  const checked = drift === "none" ? "linear" : drift;
  const mirrored = alternatingRows(rows, setups);
  const figures = (of: readonly DesignRow[], model: DriftModel): DesignFigures | undefined =>
    designsAhead(of, [], setups, model, [{ candidate, baseline }])[0]?.[0];
  const own = rows.filter((row) => row.setup === candidate || row.setup === baseline);
  const ridden = figures(rows, checked)?.z2 ?? 0;
  const swapping = figures(mirrored, checked)?.z2 ?? 0;
  // Few runs of one set-up are another fault: what they could give in any order is the measure.
  const withoutDrift = figures(rows, "none")?.z2;
  const isOrder = withoutDrift === undefined || ridden < LITTLE * withoutDrift;
  const isPoor = isOrder && ridden < LITTLE * swapping;
  const isOneChange = own.filter((row, i) => i > 0 && row.setup !== own[i - 1]?.setup).length === 1;
  return {
    isOneChange,
    isInHalves: own.length >= FEWEST_RUNS && (isOneChange || isPoor),
    alternating: figures(mirrored, drift),
  };
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
