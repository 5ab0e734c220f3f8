// Reasons of struck-out runs, sorted.
import { expect, it } from "vitest";
import { VOID_REASONS, voidCause } from "../../src/domain/void-reason.ts";

it("every reason to choose from is sorted, those that may be the set-up's doing by what happened", () => {
  expect(VOID_REASONS.map(voidCause)).toEqual([
    "other",
    "held-up",
    "timing-fault",
    "other",
    "other",
    "crash",
    "puncture",
    "mechanical",
  ]);
});

it("a typed or imported reason is sorted by the same words", () => {
  expect(voidCause("Crashed in the gully")).toBe("crash");
  expect(voidCause("rear puncture")).toBe("puncture");
  expect(voidCause("held up by a crash ahead")).toBe("held-up");
  expect(voidCause("changed line")).toBe("other");
  expect(voidCause("")).toBe("other");
  expect(voidCause(null)).toBe("other");
});
