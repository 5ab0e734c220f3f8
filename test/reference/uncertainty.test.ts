// Uncertainties put together, and clocks put right, against published figures: JCGM 100:2008 (GUM),
// examples F.2.2.1, 4.3.7, G.4.1, H.1, H.2, H.3; drift and roll-over of clocks worked out by hand and
// in R 4.2.2. All digits that the recomputing program printed are asked for (13 or more).
import { describe, expect, it } from "vitest";
import { boxClock, hostTimeOf } from "../../src/clock/box-clock.ts";
import { combinedUncertainty, rectangular } from "../../src/session/combined-uncertainty.ts";
import { crystal, exchangesAt, schedule, stamp } from "../clock/radio.ts";
import { expectAbs, expectDigits } from "./cases.ts";
import { referenceEntry } from "./entry.ts";

const GUM = "10_measurement_uncertainty.json";
const CLOCKS = "09_clock_crc_formats.json";

type Figures<K extends string> = Readonly<Record<K, number>>;

/** Inputs that the value takes in as they are. */
function plain(...us: readonly number[]) {
  return us.map((u) => ({ sensitivity: 1, u }));
}

describe("bounds", () => {
  it("4.3.7: a rectangle of 96 to 104 degC, and the sum of two halves of it", () => {
    const { inputs, expected, checked_with } = referenceEntry<
      Figures<"lower" | "upper">,
      Figures<"u_rectangular" | "u_triangular">
    >(GUM, "gum-rect-triangular");
    const half = (inputs.upper - inputs.lower) / 2;
    expectAbs(rectangular(half), expected.u_rectangular, 0.051);
    expectDigits(rectangular(half), checked_with.values.u_rectangular, 14);
    // A triangle is the sum of two rectangles of half its width.
    const triangle = combinedUncertainty(plain(rectangular(half / 2), rectangular(half / 2)));
    expectAbs(triangle, expected.u_triangular, 0.051);
    expectDigits(triangle, checked_with.values.u_triangular, 14);
  });

  it("F.2.2.1: a display that steps by 10 ms, and the difference of two of its readings", () => {
    const { inputs, expected, checked_with } = referenceEntry<
      Figures<"step_s">,
      Figures<"u_single_ms" | "u_difference_ms">
    >(GUM, "timer-resolution");
    const single = rectangular((inputs.step_s * 1000) / 2);
    const difference = combinedUncertainty([
      { sensitivity: 1, u: single },
      { sensitivity: -1, u: single },
    ]);
    expectAbs(single, expected.u_single_ms, 6e-5);
    expectAbs(difference, expected.u_difference_ms, 6e-5);
    expectDigits(single, checked_with.values.u_single_ms, 14);
    expectDigits(difference, checked_with.values.u_difference_ms, 14);
  });
});

describe("parts that do not depend on each other (5.1.2)", () => {
  it("G.4.1: three of 0.25, 0.57 and 0.82 %", () => {
    const { inputs, expected, checked_with } = referenceEntry<
      { u_rel_percent: number[] },
      Figures<"u_c_percent">
    >(GUM, "gum-g41-welch");
    const u = combinedUncertainty(plain(...inputs.u_rel_percent));
    expectAbs(u, expected.u_c_percent, 0.0051);
    expectDigits(u, checked_with.values.u_c_percent, 14);
  });

  it("H.1: the end gauge, with bounds and sensitivities", () => {
    const { inputs, expected, checked_with } = referenceEntry<
      {
        l_s: [number, number, number];
        d: { components: [number, number][] };
        alpha_s: { value: number };
        delta_alpha: { half_width: number };
        delta_theta: { half_width: number };
        theta: { value: number };
      },
      Figures<"u_d" | "u_delta_alpha" | "u_delta_theta" | "u_c">
    >(GUM, "gum-h1-end-gauge");
    const [length, uLength] = inputs.l_s;
    const uD = combinedUncertainty(plain(...inputs.d.components.map(([u]) => u)));
    const alpha = {
      sensitivity: -length * inputs.theta.value,
      u: rectangular(inputs.delta_alpha.half_width),
    };
    const theta = {
      sensitivity: -length * inputs.alpha_s.value,
      u: rectangular(inputs.delta_theta.half_width),
    };
    const whole = combinedUncertainty([...plain(uLength, uD), alpha, theta]);
    const found = {
      u_d: uD,
      u_delta_alpha: combinedUncertainty([alpha]),
      u_delta_theta: combinedUncertainty([theta]),
      u_c: whole,
    };
    const printed = { u_d: 0.051, u_delta_alpha: 0.051, u_delta_theta: 0.051, u_c: 0.51 } as const;
    for (const key of Object.keys(printed) as (keyof typeof printed)[]) {
      expectAbs(found[key], expected[key], printed[key], key);
      expectDigits(found[key], checked_with.values[key], 13, key);
    }
  });
});

describe("parts that do (5.2.2)", () => {
  it("H.2: resistance, reactance and impedance from one set of readings", () => {
    type H2 = Figures<
      | "V_mean"
      | "u_V"
      | "I_mean_mA"
      | "u_I_mA"
      | "phi_mean"
      | "u_phi"
      | "r_VI"
      | "r_Vphi"
      | "r_Iphi"
      | "u_R"
      | "u_X"
      | "u_Z"
    >;
    const { expected, checked_with } = referenceEntry<object, H2>(GUM, "gum-h2-correlated");
    const m = checked_with.values;
    const [v, i, phi] = [m.V_mean, m.I_mean_mA / 1000, m.phi_mean];
    const correlation = (a: number, b: number): number =>
      a === 0 ? (b === 1 ? m.r_VI : m.r_Vphi) : m.r_Iphi;
    const u = (dV: number, dI: number, dPhi: number): number =>
      combinedUncertainty(
        [
          { sensitivity: dV, u: m.u_V },
          { sensitivity: dI, u: m.u_I_mA / 1000 },
          { sensitivity: dPhi, u: m.u_phi },
        ],
        correlation,
      );
    const [r, x, z] = [(v * Math.cos(phi)) / i, (v * Math.sin(phi)) / i, v / i];
    const found = { u_R: u(r / v, -r / i, -x), u_X: u(x / v, -x / i, r), u_Z: u(z / v, -z / i, 0) };
    for (const key of ["u_R", "u_X", "u_Z"] as const) {
      expectAbs(found[key], expected[key], 0.0011, key);
      expectDigits(found[key], m[key], 11, key);
    }
  });

  it("H.3: what a fitted line says ten degrees on", () => {
    type H3 = Figures<"u_y1" | "u_y2" | "r" | "u_b_30">;
    const { inputs, expected, checked_with } = referenceEntry<Figures<"t0" | "predict_at">, H3>(
      GUM,
      "gum-h3-thermometer",
    );
    const { u_y1, u_y2, r, u_b_30 } = checked_with.values;
    const u = combinedUncertainty(
      [
        { sensitivity: 1, u: u_y1 },
        { sensitivity: inputs.predict_at - inputs.t0, u: u_y2 },
      ],
      () => r,
    );
    expectAbs(u, expected.u_b_30, 6e-5);
    expectDigits(u, u_b_30, 12);
  });
});

describe("clocks", () => {
  it("of 20 ppm each way are 7.2 ms apart after a run; fitted to the laptop's they are not", () => {
    const { inputs, expected } = referenceEntry<
      Figures<"ppm_each" | "run_s">,
      Figures<"worst_run_ms" | "one_clock_run_ms">
    >(CLOCKS, "clock-drift");
    const ms = inputs.run_s * 1000;
    const from = 400e6;
    const to = from + ms * 1000;
    const clocks = [inputs.ppm_each, -inputs.ppm_each].map((ppm) => crystal(ppm, 1e9, 0, 1e5, 0));
    const [fast, slow] = clocks.map((c) => (stamp(c, to) - stamp(c, from)) / 1000);
    expectAbs((fast ?? 0) - ms, expected.one_clock_run_ms, 0.002);
    expectAbs((fast ?? 0) - (slow ?? 0), expected.worst_run_ms, 0.002);
    for (const [i, clock] of clocks.entries()) {
      const fit = boxClock(exchangesAt(clock, schedule(1000), () => 4000));
      const [start, end] = [from, to].map((at) => hostTimeOf(fit, stamp(clock, at)));
      if (start?.ok !== true || end?.ok !== true) throw new Error("no exchange");
      expectAbs((end.value.hostUs - start.value.hostUs) / 1000, ms, 0.003);
      expectAbs(end.value.clockDriftPpm, (i === 0 ? 1 : -1) * inputs.ppm_each, 0.01);
    }
  });

  it("go on past 2^32 us, 71.58 minutes after the boot", () => {
    const { checked_with } = referenceEntry<object, Figures<"uint32_micros_minutes">>(
      CLOCKS,
      "rollovers",
    );
    const wrapUs = checked_with.values.uint32_micros_minutes * 60e6;
    expectDigits(wrapUs, 2 ** 32, 14);
    // The wrap lies 300 s into the exchanges; a run goes across it.
    const clock = crystal(0, wrapUs - 300e6, 0, 1e5, 0);
    const fit = boxClock(exchangesAt(clock, schedule(700), () => 4000));
    const at = (s: number): number => {
      const reading = hostTimeOf(fit, stamp(clock, s * 1e6));
      return reading.ok ? reading.value.hostUs : Number.NaN;
    };
    expect(stamp(clock, 310e6)).toBeGreaterThan(2 ** 32);
    expectAbs(at(310) - at(290), 20e6, 1);
  });
});
