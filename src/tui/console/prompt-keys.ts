// Keys in lists, texts, questions and pages: what they do to what the console remembers; called by the controller.
import type { Command } from "../keys/key-map.ts";
import { safeText } from "../present/safe-text.ts";
import type { Desk } from "./desk.ts";
import type { Press } from "./press.ts";

/** Lines of a list that have a number: a page of it. */
export const PICKS_A_PAGE = 9;
/** chosen: longer than any reason or note, shorter than what the journal refuses. */
const LONGEST_TEXT = 500;

function goLive(desk: Desk): void {
  desk.change({
    mode: "LIVE",
    home: "LIVE",
    selected: null,
    pick: null,
    text: null,
    question: null,
  });
}

function goHome(desk: Desk): void {
  desk.change({ mode: desk.state().home, pick: null, text: null, question: null });
}

/** A key in a list. */
export function pickKey(desk: Desk, command: Command, press: Press): void {
  const { pick } = desk.state();
  if (pick === null) {
    goHome(desk);
    return;
  }
  const move = (step: number): void => {
    const selected = Math.max(0, Math.min(pick.items.length - 1, pick.selected + step));
    desk.change({ pick: { ...pick, selected } });
  };
  const take = (index: number): void => {
    const item = pick.items[index];
    if (item === undefined) return;
    goHome(desk);
    item.take(press);
  };
  const pageStart = Math.floor(pick.selected / PICKS_A_PAGE) * PICKS_A_PAGE;
  if (command.id === "scroll-up") move(-1);
  else if (command.id === "scroll-down") move(1);
  else if (command.id === "page-up") move(-PICKS_A_PAGE);
  else if (command.id === "page-down") move(PICKS_A_PAGE);
  else if (command.id === "pick-number") take(pageStart + (command.digit ?? 0) - 1);
  else if (command.id === "pick-selected") take(pick.selected);
  else if (command.id === "pick-later") goHome(desk);
  else if (command.id === "back") goLive(desk);
}

/** A key in a text, or a piece of text typed or pasted. */
export function textKey(desk: Desk, key: Command | string): void {
  const { text } = desk.state();
  if (text === null) {
    goHome(desk);
    return;
  }
  const become = (value: string, complaint: string | null = null): void => {
    desk.change({ text: { ...text, value: value.slice(0, LONGEST_TEXT), complaint } });
  };
  if (typeof key === "string") {
    become(text.value + printable(key));
  } else if (key.id === "text-delete") {
    become(withoutLast(text.value));
  } else if (key.id === "back") {
    goLive(desk);
  } else if (key.id === "text-accept") {
    goHome(desk);
    const complaint = text.accept(text.value.trim());
    if (complaint !== null) desk.change({ mode: "TEXT", text: { ...text, complaint } });
  }
}

/** Typed or pasted text without anything that moves a cursor. */
export function printable(text: string): string {
  return safeText(text.replace(/[\p{Cc}]+/gu, " "));
}

const graphemes = new Intl.Segmenter("en", { granularity: "grapheme" });

/** The text without its last character as people see it. */
export function withoutLast(text: string): string {
  const segments = [...graphemes.segment(text)];
  return text.slice(0, segments.at(-1)?.index ?? 0);
}

/** The answer to a question; anything but yes is no. */
export function answerKey(desk: Desk, command: Command): void {
  const { question } = desk.state();
  goHome(desk);
  if (command.id === "answer-yes") question?.yes();
  else question?.no();
}

/** A key on the help or emergency page; false: it is none of the page's own. */
export function pageKey(desk: Desk, command: Command): boolean {
  const { pageTop } = desk.state();
  if (command.id === "back") goLive(desk);
  else if (command.id === "scroll-up") desk.change({ pageTop: Math.max(0, pageTop - 1) });
  else if (command.id === "scroll-down") desk.change({ pageTop: pageTop + 1 });
  else return false;
  return true;
}
