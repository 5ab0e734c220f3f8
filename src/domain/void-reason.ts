// Why runs are struck out, in the operator's words: offered by the console, sorted by the remarks.

/**
 * The reasons to choose from. The first kind is not the set-up's doing, the second perhaps is and is
 * looked at as a result of its own.
 */
export const VOID_REASONS = [
  "walker or animal on the trail",
  "held up by another rider",
  "timing fault",
  "wrong line or missed gate",
  "stopped or interrupted",
  "crash",
  "puncture",
  "chain or other mechanical",
] as const;

/** What a reason says happened, as far as anything rests on it. */
export type VoidCause = "held-up" | "timing-fault" | "crash" | "puncture" | "mechanical" | "other";

/** The first that fits counts: being held up by another's crash is being held up. */
const SIGNS: readonly (readonly [RegExp, VoidCause])[] = [
  [/\bheld up\b/i, "held-up"],
  [/\btiming\b/i, "timing-fault"],
  [/\bcrash/i, "crash"],
  [/\bpuncture/i, "puncture"],
  [/\b(?:chain|mechanical)\b/i, "mechanical"],
];

/**
 * Sorts a reason, chosen, typed or imported.
 *
 * chosen: by the words of our own list wherever they stand; what is said in other words is `other`,
 * which is nobody's doing. test/domain/void-reason.test.ts.
 *
 * @param reason - null: none given yet
 */
export function voidCause(reason: string | null): VoidCause {
  return SIGNS.find(([sign]) => sign.test(reason ?? ""))?.[1] ?? "other";
}
