// What every maker of remarks is given; of its own, so that makers need not know the list of makers.
import type { ComparisonInput, RiderComparison, Together } from "../../domain/comparison.ts";

/** What remarks are made from. */
export interface RemarkBasis {
  readonly input: ComparisonInput;
  /** Of `input`. */
  readonly riders: readonly RiderComparison[];
  readonly together: Together | null;
}
