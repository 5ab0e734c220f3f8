// The start menu's picture as lines: the menu, the form, the list of sessions; drawn by start.tsx.
import { keyHints } from "../keys/key-help.ts";
import { bold, fillRows, heading, type Line, line } from "../line.ts";
import { alarm, type Look } from "../look.ts";
import { cutText, safeText, wrapText } from "../present/safe-text.ts";
import { formFields } from "./new-session.ts";
import { FILES_A_PAGE, type StartState, type StartWorld, startMode } from "./start-menu.ts";

/** The whole screen, exactly `rows` rows. */
export function startLines(
  state: StartState,
  world: StartWorld,
  width: number,
  rows: number,
  look: Look,
): readonly Line[] {
  const body =
    state.kind === "menu"
      ? menuLines(state.message, width, look)
      : state.kind === "open"
        ? openLines(state.selected, world, width, look)
        : formLines(state, world, width, look);
  const hints = keyHints(startMode(state)).join("  ");
  return [...fillRows(body, rows - 1), bold(`[${startMode(state)}]  ${hints}`)];
}

function menuLines(message: string | null, width: number, look: Look): readonly Line[] {
  return [
    heading(line("SWAPLAP: back-to-back testing of mountain bike set-ups"), width, look.glyphs),
    line(""),
    bold("  p   practise on a simulated hill: a day in about a minute, nothing to connect"),
    line(""),
    bold("  n   new session"),
    line(""),
    bold("  o   open a session"),
    line(""),
    bold("  q   quit"),
    line(""),
    ...(message === null ? [] : [alarm(`  ${message}`, look)]),
  ];
}

function openLines(
  selected: number,
  world: StartWorld,
  width: number,
  look: Look,
): readonly Line[] {
  const start = Math.floor(selected / FILES_A_PAGE) * FILES_A_PAGE;
  const shown = world.files.slice(start, start + FILES_A_PAGE);
  const count = world.files.length;
  const more = count > FILES_A_PAGE ? `  ${String(selected + 1)} of ${String(count)}` : "";
  return [
    heading(line(`OPEN A SESSION${more}`), width, look.glyphs),
    line(""),
    ...shown.map((file, i): Line => {
      const isFocused = start + i === selected;
      const text = `${isFocused ? ">" : " "} ${String(i + 1)}  ${safeText(file)}`;
      return isFocused ? bold(text) : line(text);
    }),
  ];
}

const LABEL = 20;

function formLines(
  state: Extract<StartState, { kind: "form" }>,
  world: StartWorld,
  width: number,
  look: Look,
): readonly Line[] {
  const { ellipsis } = look.glyphs;
  const fields = formFields(world);
  const rows = fields.map((field, i): Line => {
    const isFocused = i === state.at;
    const value = safeText(state.values[field.key]);
    const room = width - LABEL - 5;
    const text = isFocused ? `${value}_` : cutText(value, room, ellipsis);
    const row = `${isFocused ? ">" : " "} ${field.label.padEnd(LABEL)} ${text}`;
    return isFocused ? bold(row) : line(row);
  });
  const hint = fields[state.at]?.hint ?? "";
  return [
    heading(line("NEW SESSION"), width, look.glyphs),
    line(""),
    ...rows,
    line(""),
    ...(state.complaint === null
      ? wrapText(safeText(hint), width - 2).map((row) => line(`  ${row}`))
      : wrapText(safeText(state.complaint), width - 2).map((row) => alarm(`  ${row}`, look))),
  ];
}
