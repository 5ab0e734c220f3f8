// Colours, always a second cue beside a character or a word; called by the panels and the screen.
import type { ChalkInstance } from "chalk";
import type { Ground } from "../screen/fit-line.ts";

export type ThemeName = "dark" | "sun" | "none";

export const THEME_NAMES: readonly ThemeName[] = ["dark", "sun", "none"];

/** Hex colours; undefined leaves the terminal's own. */
export interface Theme {
  readonly name: ThemeName;
  /** Of the set-ups in declared order, used again from the start beyond the last. */
  readonly setups: readonly string[];
  readonly foreground: string | undefined;
  readonly background: string | undefined;
  /** Faults, beside their words. */
  readonly alarm: string | undefined;
}

const THEMES: Readonly<Record<ThemeName, Theme>> = {
  // Okabe and Ito (2008), Color Universal Design: told apart with every kind of colour vision.
  dark: {
    name: "dark",
    setups: ["#E69F00", "#56B4E9", "#FFFFFF", "#D55E00"],
    foreground: "#FFFFFF",
    background: "#000000",
    alarm: "#D55E00",
  },
  // The same hues, darkened until they stand out from white (WCAG 2.1, 1.4.3).
  sun: {
    name: "sun",
    setups: ["#0072B2", "#A64900", "#000000", "#8A5A00"],
    foreground: "#000000",
    background: "#FFFFFF",
    alarm: "#A64900",
  },
  none: {
    name: "none",
    setups: [],
    foreground: undefined,
    background: undefined,
    alarm: undefined,
  },
};

/** The theme of that name. */
export function theme(name: ThemeName): Theme {
  return THEMES[name];
}

/** The theme after this one, round and round. */
export function nextTheme(name: ThemeName): ThemeName {
  return THEME_NAMES[(THEME_NAMES.indexOf(name) + 1) % THEME_NAMES.length] ?? "none";
}

/** Colour of a set-up by its place in declared order; undefined without colours. */
export function setupColour(index: number, colours: Theme): string | undefined {
  return colours.setups[index % Math.max(1, colours.setups.length)];
}

/** How many colours to use: none where the user or the terminal wants none. */
export type ColourLevel = 0 | 1 | 2 | 3;

/**
 * Colour level to set on chalk, which does not heed NO_COLOR itself and which Ink shares.
 *
 * @param detected - what chalk found out about the terminal
 * @param noColor - the variable NO_COLOR: set and not empty means no colour (no-color.org)
 */
export function colourLevel(
  name: ThemeName,
  detected: ColourLevel,
  noColor: string | undefined,
): ColourLevel {
  const isPlain = noColor !== undefined && noColor !== "";
  return isPlain ? 0 : name === "none" ? (detected === 0 ? 0 : 1) : detected;
}

/** Sequences that open a theme's ground colours at chalk's present level; undefined without colours. */
export function groundOf(colours: Theme, chalk: ChalkInstance): Ground | undefined {
  if (colours.foreground === undefined || colours.background === undefined) return undefined;
  if (chalk.level === 0) return undefined;
  const foreground = opening(chalk.hex(colours.foreground)("x"));
  const background = opening(chalk.bgHex(colours.background)("x"));
  return { open: foreground + background, foreground, background };
}

function opening(painted: string): string {
  return painted.slice(0, painted.indexOf("x"));
}
