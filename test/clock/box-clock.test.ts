// The fit of a box's clock: known clocks recovered, honest uncertainty, outages, speed.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { boxClock, hostTimeOf } from "../../src/clock/box-clock.ts";
import { seededRandom } from "../../src/domain/seeded.ts";
import type { BoxUs } from "../../src/domain/time.ts";
import { cableDelayUs, crystal, exchangesAt, radioDelayUs, schedule, stamp } from "./radio.ts";

type Clock = ReturnType<typeof boxClock>;

function read(clock: Clock, at: BoxUs) {
  const reading = hostTimeOf(clock, at);
  if (!reading.ok) throw new Error(reading.error);
  return reading.value;
}

describe("hostTimeOf", () => {
  it("recovers a known offset and rate within its own stated uncertainty", () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 0, max: 2 ** 31 }),
        fc.double({ min: -100, max: 100, noNaN: true }),
        fc.integer({ min: 0, max: 900_000_000_000_000 }),
        fc.integer({ min: 1, max: 400 }),
        fc.double({ min: -0.2, max: 1.2, noNaN: true }),
        (seed, skewPpm, startUs, count, where) => {
          const random = seededRandom(seed);
          const clock = crystal(skewPpm, startUs, 0, 86_400, 0);
          // Equal delays both ways: what the exchange cannot see (asymmetry) is not asked of it.
          const times = schedule(2000).slice(0, count);
          const delays = times.map(() => radioDelayUs(random));
          let way = -1;
          const pairs = () => {
            way += 1;
            return delays[way >> 1] ?? 0;
          };
          const exchanges = exchangesAt(clock, times, pairs);
          const at = 1e6 + where * (times.at(-1) ?? 0);
          const reading = read(boxClock(exchanges), stamp(clock, at));
          expect(Math.abs(reading.hostUs - at)).toBeLessThanOrEqual(2 * reading.uncertaintyUs);
          expect(reading.uncertaintyUs).toBeGreaterThanOrEqual(20);
        },
      ),
      { seed: 31, numRuns: 1500 },
    );
  });

  it("tells the rate of the box's clock", () => {
    const clock = crystal(38, 5e8, 0, 86_400, 0);
    const random = seededRandom(1);
    const fit = boxClock(exchangesAt(clock, schedule(1200), () => cableDelayUs(random)));
    const reading = read(fit, stamp(clock, 600e6));
    expect(reading.clockDriftPpm).toBeCloseTo(38, 0);
    expect(reading.isExtrapolated).toBe(false);
    expect(reading.isHeldOver).toBe(false);
    expect(reading.isProvisional).toBe(false);
  });

  it("gives no time without an exchange, and says so", () => {
    expect(hostTimeOf(boxClock([]), stamp(crystal(0, 0, 0, 1, 0), 5))).toEqual({
      ok: false,
      error: "no-exchange",
    });
  });

  it("claims no more than its round trip from one exchange, and less further away from it", () => {
    const clock = crystal(-20, 7e9, 0, 86_400, 0);
    const fit = boxClock(exchangesAt(clock, [1e6], () => 10_000));
    const near = read(fit, stamp(clock, 1e6));
    expect(near.exchanges).toBe(1);
    // 20 ms round trip: +-10 ms, rectangular (JCGM 100:2008, 4.3.7).
    expect(near.uncertaintyUs).toBeGreaterThan(10_000 / Math.sqrt(3) - 1);
    expect(near.uncertaintyUs).toBeLessThan(7000);
    const far = read(fit, stamp(clock, 61e6));
    expect(far.uncertaintyUs).toBeGreaterThan(100_000);
  });

  it("is not drawn aside by late exchanges", () => {
    const clock = crystal(40, 1e9, 0, 86_400, 0);
    const random = seededRandom(5);
    const quick = exchangesAt(clock, schedule(900), () => cableDelayUs(random));
    const late = exchangesAt(clock, [100e6, 400e6, 700e6], () => 400_000 * random());
    const at = stamp(clock, 450e6);
    const alone = read(boxClock(quick), at).hostUs;
    expect(Math.abs(read(boxClock([...quick, ...late]), at).hostUs - alone)).toBeLessThan(50);
  });

  it("does not depend on the order in which exchanges came in", () => {
    const clock = crystal(40, 1e9, 0, 86_400, 0);
    const random = seededRandom(6);
    const exchanges = exchangesAt(clock, schedule(300), () => radioDelayUs(random));
    const at = stamp(clock, 200e6);
    expect(read(boxClock([...exchanges].reverse()), at)).toEqual(read(boxClock(exchanges), at));
  });

  it("survives exchanges at one and the same instant", () => {
    const clock = crystal(0, 0, 0, 86_400, 0);
    const fit = boxClock(exchangesAt(clock, [5e6, 5e6, 5e6], () => 2000));
    const reading = read(fit, stamp(clock, 6e6));
    expect(Number.isFinite(reading.uncertaintyUs)).toBe(true);
    expect(Math.abs(reading.hostUs - 6e6)).toBeLessThanOrEqual(2 * reading.uncertaintyUs);
  });

  it("is provisional until exchanges reach half a window beyond", () => {
    const clock = crystal(12, 3e8, 0, 86_400, 0);
    const random = seededRandom(7);
    const exchanges = exchangesAt(clock, schedule(1000), () => radioDelayUs(random));
    const at = stamp(clock, 600e6);
    const upTo = (s: number) => boxClock(exchanges.filter((e) => e.t1Us <= s * 1e6));
    expect(read(upTo(597), at)).toMatchObject({ isProvisional: true, isExtrapolated: true });
    expect(read(upTo(890), at)).toMatchObject({ isProvisional: true, isExtrapolated: false });
    expect(read(upTo(910), at)).toMatchObject({ isProvisional: false, isExtrapolated: false });
    // Once the window is full, later exchanges change nothing.
    expect(read(upTo(999), at).hostUs).toBe(read(upTo(910), at).hostUs);
  });

  it("says that it holds over an outage, and that it no longer has to once the link is back", () => {
    const clock = crystal(40, 1e9, 0, 86_400, 0);
    const random = seededRandom(8);
    const times = [...schedule(1500), ...Array.from({ length: 80 }, (_, i) => 2100e6 + i * 5e6)];
    const exchanges = exchangesAt(clock, times, () => radioDelayUs(random));
    const at = stamp(clock, 1800e6);
    const out = read(boxClock(exchanges.slice(0, -80)), at);
    expect(out).toMatchObject({ isHeldOver: true, isExtrapolated: true, isProvisional: true });
    const back = read(boxClock(exchanges), at);
    expect(back).toMatchObject({ isHeldOver: true, isExtrapolated: false, isProvisional: false });
    expect(back.uncertaintyUs).toBeLessThan(out.uncertaintyUs);
  });

  it("maps 1000 passings of ten hours in well under 100 ms", () => {
    const clock = crystal(40, 1e9, 10, 86_400, 0);
    const random = seededRandom(9);
    const exchanges = exchangesAt(clock, schedule(36_000), () => radioDelayUs(random));
    const passings = Array.from({ length: 1000 }, (_, i) => stamp(clock, i * 36e6 + 7e6));
    const times = [1, 2, 3, 4, 5].map(() => {
      const begun = performance.now();
      const fit = boxClock(exchanges);
      for (const at of passings) read(fit, at);
      return performance.now() - begun;
    });
    expect(Math.min(...times)).toBeLessThan(100);
  });
});
