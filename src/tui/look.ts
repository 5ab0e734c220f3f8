// The characters and colours of one screen, and set-ups and riders as it shows them; used by every panel.
import type { RiderId, SetupId } from "../domain/session.ts";
import type { Summary } from "../summary/summary.ts";
import type { Line, Span } from "./line.ts";
import { ASCII_GLYPHS, type Glyphs, UNICODE_GLYPHS } from "./present/glyphs.ts";
import { safeText } from "./present/safe-text.ts";
import { setupLabel, setupMark } from "./present/setup-mark.ts";
import { setupColour, type Theme, type ThemeName, theme } from "./present/theme.ts";

export interface Look {
  readonly glyphs: Glyphs;
  readonly theme: Theme;
}

/** Characters and colours by what the user asked for. */
export function lookOf(themeName: ThemeName, isAscii: boolean): Look {
  return { glyphs: isAscii ? ASCII_GLYPHS : UNICODE_GLYPHS, theme: theme(themeName) };
}

/** Place of a set-up in declared order, from 0; the first for an unknown one. */
export function setupIndex(summary: Summary, id: SetupId): number {
  return Math.max(
    0,
    summary.setups.findIndex((setup) => setup.id === id),
  );
}

function colourOf(summary: Summary, id: SetupId, look: Look): string | undefined {
  return setupColour(setupIndex(summary, id), look.theme);
}

/** Letter and shape: `B ▲`. */
export function markSpan(summary: Summary, id: SetupId, look: Look): Span {
  return {
    text: setupMark(id, setupIndex(summary, id), look.glyphs),
    colour: colourOf(summary, id, look),
  };
}

/** Letter, shape and name: `B ▲ Insert`. */
export function labelSpan(summary: Summary, id: SetupId, look: Look): Span {
  const name = summary.setups.find((setup) => setup.id === id)?.name ?? "";
  return {
    text: setupLabel(id, name, setupIndex(summary, id), look.glyphs),
    colour: colourOf(summary, id, look),
  };
}

/** A rider as people call them; the id where there is no name. */
export function riderName(summary: Summary, id: RiderId): string {
  const name = safeText(summary.riders.find((rider) => rider.id === id)?.name ?? "").trim();
  return name === "" ? safeText(id) : name;
}

/** Words of an alarm, in its colour. */
export function alarm(text: string, look: Look): Line {
  return [{ text, colour: look.theme.alarm, isBold: true }];
}
