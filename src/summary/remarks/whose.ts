// Names the rider that a remark is about, where there are several; called by the makers of remarks.
import type { ComparisonInput } from "../../domain/comparison.ts";
import type { RiderId } from "../../domain/session.ts";

/** `Rider two: ` in front of a sentence, or nothing. The name is as the sheet has it. */
export function whose(input: ComparisonInput, rider: RiderId): string {
  return input.riders.length > 1 ? `${riderName(input, rider)}: ` : "";
}

/** The rider's name as the sheet has it: whoever shows it makes it safe. */
export function riderName(input: ComparisonInput, rider: RiderId): string {
  return input.riders.find((each) => each.id === rider)?.name ?? rider;
}
