import { Chalk } from "chalk";
import { describe, expect, it } from "vitest";
import {
  colourLevel,
  groundOf,
  nextTheme,
  setupColour,
  THEME_NAMES,
  theme,
} from "../../../src/tui/present/theme.ts";

/** WCAG 2.1, "relative luminance" and "contrast ratio". */
function luminance(hex: string): number {
  const [r = 0, g = 0, b = 0] = [1, 3, 5].map((at) => {
    const channel = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return channel <= 0.04045 ? channel / 12.92 : ((channel + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

function contrast(a: string, b: string): number {
  const [light = 0, dark = 0] = [luminance(a), luminance(b)].sort((x, y) => y - x);
  return (light + 0.05) / (dark + 0.05);
}

describe("themes", () => {
  it.each(["dark", "sun"] as const)("%s: every colour stands out from its ground", (name) => {
    const colours = theme(name);
    for (const colour of [...colours.setups, colours.foreground, colours.alarm]) {
      // WCAG 2.1, success criterion 1.4.3
      expect(contrast(colour ?? "", colours.background ?? "")).toBeGreaterThanOrEqual(4.5);
    }
  });

  it("have the contrast that they were chosen for", () => {
    const rounded = (name: "dark" | "sun"): readonly string[] =>
      theme(name).setups.map((c) => contrast(c, theme(name).background ?? "").toFixed(1));
    expect(rounded("dark")).toEqual(["9.3", "9.1", "21.0", "5.4"]);
    expect(rounded("sun")).toEqual(["5.2", "5.9", "21.0", "5.9"]);
  });

  it("give each of four set-ups a colour of its own in 16 colours too", () => {
    const sixteen = new Chalk({ level: 1 });
    const painted = theme("dark").setups.map((colour) => sixteen.hex(colour)("x"));
    expect(new Set(painted).size).toBe(4);
  });

  it("use no colour at all without colours", () => {
    expect(setupColour(1, theme("none"))).toBeUndefined();
    expect(setupColour(5, theme("dark"))).toBe("#56B4E9");
    expect(groundOf(theme("none"), new Chalk({ level: 3 }))).toBeUndefined();
    expect(groundOf(theme("sun"), new Chalk({ level: 0 }))).toBeUndefined();
  });

  it("paint the ground in what the terminal can show", () => {
    expect(groundOf(theme("sun"), new Chalk({ level: 3 }))).toEqual({
      open: "\u001b[38;2;0;0;0m\u001b[48;2;255;255;255m",
      foreground: "\u001b[38;2;0;0;0m",
      background: "\u001b[48;2;255;255;255m",
    });
    expect(groundOf(theme("dark"), new Chalk({ level: 2 }))?.background).toBe("\u001b[48;5;16m");
  });

  it("heed NO_COLOR, and keep bold where the theme alone asks for no colours", () => {
    expect(colourLevel("dark", 3, undefined)).toBe(3);
    expect(colourLevel("dark", 3, "")).toBe(3);
    expect(colourLevel("dark", 3, "1")).toBe(0);
    expect(colourLevel("none", 3, undefined)).toBe(1);
    expect(colourLevel("none", 0, undefined)).toBe(0);
  });

  it("follow one another round and round", () => {
    expect(THEME_NAMES.map(nextTheme)).toEqual(["sun", "none", "dark"]);
  });
});
