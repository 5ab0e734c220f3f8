// When the laptop's clock counts as another one: sleep, a wall clock that is set, and what is neither.
import { describe, expect, it } from "vitest";
import { type ClockLook, epochAt, firstEpoch } from "../../src/clock/host-epoch.ts";

const WALL_US = Date.UTC(2026, 4, 9, 8) * 1000;

function look(monoS: number, asleepS: number | null, aheadS = 0): ClockLook {
  const wallUs = WALL_US + (monoS + (asleepS ?? 0) + aheadS) * 1e6;
  return { wallUs, monoUs: monoS * 1e6, asleepUs: asleepS === null ? null : asleepS * 1e6 };
}

/** Names at looks one after the other. */
function names(looks: readonly ClockLook[]): readonly string[] {
  const [first, ...others] = looks;
  if (first === undefined) return [];
  let epoch = firstEpoch("boot", first);
  const all = [epoch.name];
  for (const each of others) {
    epoch = epochAt(epoch, "boot", each);
    all.push(epoch.name);
  }
  return all;
}

describe("where the system tells how long it slept", () => {
  it("each sleep over half a second begins another run of the clock", () => {
    expect(names([look(1, 0), look(2, 0.4), look(3, 30.2), look(4, 30.2), look(5, 31)])).toEqual([
      "boot",
      "boot",
      "boot+30",
      "boot+30",
      "boot+31",
    ]);
  });

  it("a wall clock that is set changes nothing: the monotonic clock went on", () => {
    expect(names([look(1, 0), look(2, 0, 3600), look(3, 0, -5)])).toEqual(["boot", "boot", "boot"]);
  });

  it("does not hop to and fro where the time slept lies at half a second", () => {
    const looks = Array.from({ length: 50 }, (_, i) =>
      look(i, i === 0 ? 0 : 12.5 - (i % 2) * 0.01),
    );
    expect(new Set(names(looks)).size).toBe(2);
  });

  it("another process names it the same", () => {
    expect(names([look(900, 30.2)])).toEqual(["boot+30"]);
  });
});

describe("where it does not", () => {
  it("wall and monotonic clock parting by over half a second begin another, each with its own name", () => {
    const all = names([look(1, null), look(2, null, 0.4), look(3, null, 40), look(4, null, 39)]);
    expect(all.slice(0, 2)).toEqual(["boot", "boot"]);
    expect(new Set(all).size).toBe(3);
  });

  it("a wall clock that is slewed for hours does not", () => {
    const looks = Array.from({ length: 2000 }, (_, i) => look(i * 5, null, i * 5 * 5e-4));
    expect(new Set(names(looks)).size).toBe(1);
  });
});
