import { describe, expect, it } from "vitest";
import { sessionUs } from "../../../src/domain/time.ts";
import {
  age,
  between,
  clockTime,
  plain,
  plusMinus,
  runningTime,
  runTime,
  signed,
  signedPercent,
} from "../../../src/tui/present/seconds.ts";

describe("times", () => {
  it.each([
    [0, "0.000"],
    [58.1234, "58.123"],
    [62.345, "1:02.345"],
    [59.9996, "1:00.000"],
    [3599.9999, "1:00:00.000"],
    [3662.5, "1:01:02.500"],
    [-62.345, "-1:02.345"],
    [-0.0001, "0.000"],
    [null, "-"],
    [Number.NaN, "-"],
  ])("writes a run time of %s s as %s", (timeS, text) => {
    expect(runTime(timeS)).toBe(text);
  });

  it("writes a run time with as many decimals as asked for", () => {
    expect(runTime(62.35, 1)).toBe("1:02.4");
    expect(runTime(59.5, 0)).toBe("1:00");
  });

  it("writes a running time in whole seconds gone by", () => {
    expect([0, 7.99, 62, 3662, -3].map(runningTime)).toEqual([
      "0:00",
      "0:07",
      "1:02",
      "1:01:02",
      "0:00",
    ]);
  });

  it("writes how long ago something was", () => {
    expect([0, 42.9, 119, 120, 3599, 3900].map(age)).toEqual([
      "0 s",
      "42 s",
      "119 s",
      "2 min",
      "59 min",
      "1 h 05 min",
    ]);
  });

  it("writes the wall clock of the session's zone", () => {
    // 2026-05-09T08:42:07Z is 10:42:07 in Vienna: summer time, UTC + 2 h
    const at = sessionUs(Date.UTC(2026, 4, 9, 8, 42, 7) * 1000);
    expect(clockTime(at, "Europe/Vienna")).toBe("10:42");
    expect(clockTime(at, "Europe/Vienna", true)).toBe("10:42:07");
    expect(clockTime(sessionUs(Date.UTC(2026, 4, 8, 22, 0, 0) * 1000), "Europe/Vienna")).toBe(
      "00:00",
    );
  });
});

describe("differences", () => {
  it("carry their sign, but nought has none", () => {
    expect([-2.6, 0.154, -0.004, 0].map((value) => signed(value, 2))).toEqual([
      "-2.60",
      "+0.15",
      "0.00",
      "0.00",
    ]);
    expect(signed(null, 2)).toBe("-");
    expect(signed(Number.POSITIVE_INFINITY, 2)).toBe("-");
    expect(plain(-2.6, 1)).toBe("2.6");
  });

  it("come as a band, a half-width or a percentage", () => {
    expect(between(-4.2, -0.1, 1)).toBe("between -4.2 and -0.1 s");
    expect(plusMinus(0.0034, 3, "±")).toBe("±0.003 s");
    expect(signedPercent(-0.0187)).toBe("-1.9 %");
    expect(signedPercent(null)).toBe("-");
  });
});
