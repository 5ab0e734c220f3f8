// The console's last four rows: the suggestion or a prompt, what was said last, mode and keys.
import { askedFirst } from "../../summary/asked-first.ts";
import { callUpAhead } from "../../summary/call-up-ahead.ts";
import { stopsNow } from "../../summary/stops-now.ts";
import type { Summary } from "../../summary/summary.ts";
import { reasonWhileHidden } from "../blind-words.ts";
import { keyHints } from "../keys/key-help.ts";
import { cutLine, ends, fillRows, type Line, line, lineWidth } from "../line.ts";
import { alarm, type Look, markSpan, riderName } from "../look.ts";
import { nextLabel } from "../next-label.ts";
import { cutText, safeText, textWidth, wrapText } from "../present/safe-text.ts";
import { callUpWords } from "./call-up-page.ts";
import type { Snapshot } from "./controller.ts";
import { acceptance } from "./course-acts.ts";
import { detailLines } from "./run-lines.ts";

/** Exactly four rows. */
export function footLines(shot: Snapshot, width: number, look: Look): readonly Line[] {
  return [...fillRows(upperRows(shot, width, look), 3), statusLine(shot, width, look)].map((row) =>
    cutLine(row, width, look.glyphs.ellipsis),
  );
}

function upperRows(shot: Snapshot, width: number, look: Look): readonly Line[] {
  const { state } = shot;
  if (state.question !== null) return questionLines(state.question.text, width, look);
  if (state.text !== null) {
    const { label, value, complaint } = state.text;
    return [
      line(`${safeText(label)}:`),
      line(`> ${endOf(value, width - 3, look)}_`),
      complaint === null ? line("") : alarm(complaint, look),
    ];
  }
  const focused = state.mode === "SCROLL";
  const said = saidLine(shot, width, look);
  if (focused) return [...detailLines(shot, look), said];
  const isReasonHidden = isHidden(shot) || askedFirst(shot.summary, shot.now) !== null;
  return [...nextLines(shot.summary, isReasonHidden, look), said];
}

/** Who starts after the next one, where several riders take turns. */
function followingWords({ summary, now }: Snapshot): string {
  if (summary.riders.length < 2) return "";
  return callUpWords(callUpAhead(summary, now), now, summary.settings.zone) ?? "";
}

/** Whether the standing must not be seen. */
export function isHidden({ status, summary }: Snapshot): boolean {
  return status.isBlind && !summary.isClosed;
}

function questionLines(text: string, width: number, look: Look): readonly Line[] {
  const rows = wrapText(safeText(text), width);
  // The question itself stands at the end: whatever must go, it stays.
  const shown = rows.length > 3 ? [...rows.slice(0, 2), rows.at(-1) ?? ""] : rows;
  return shown.map((row) => alarm(row, look));
}

/** The end of what is being typed, which is where the typing is. */
function endOf(value: string, width: number, look: Look): string {
  if (textWidth(value) <= width) return value;
  let end = value;
  while (textWidth(end) > width - 1) end = end.slice(1);
  return look.glyphs.ellipsis + end;
}

/** What to ride next and why, and what Enter would do about it. */
function nextLines(summary: Summary, isReasonHidden: boolean, look: Look): readonly [Line, Line] {
  const { next } = summary.comparison;
  if (summary.isClosed) return [line("The session is closed."), line("a, l: reopen it")];
  const stop = stopsNow(summary).find((each) => each.rider === next.rider);
  if (next.rider !== null && stop !== undefined) {
    const enter = stop.level === "ask" ? "Enter: ask and answer" : "Enter: what to do";
    const who = `NEXT  ${riderName(summary, next.rider)} is asked first.  ${enter}`;
    return [[{ text: who, isBold: true }], alarm(safeText(stop.sentence), look)];
  }
  const step = acceptance(summary);
  const reason = line(isReasonHidden ? reasonWhileHidden(summary) : safeText(next.because));
  if (next.rider === null || next.setup === null) {
    const isTried = step.kind === "check";
    const nothing = isTried
      ? "the planned runs are ridden  Enter: closing check"
      : "nothing is suggested";
    return [line(`NEXT  ${nothing}`), reason];
  }
  const isWarmingUp = next.warm_up?.over === false;
  const enter =
    step.kind === "swap" || step.kind === "values"
      ? isWarmingUp
        ? "  after the warm-up"
        : "  Enter when it is fitted"
      : step.kind === "call-up"
        ? "  Enter: starts next"
        : "  on the bike: ride";
  const before = summary.mounted[next.rider];
  const from: Line =
    (step.kind === "swap" || step.kind === "values") && before !== undefined
      ? [{ text: "  (now " }, markSpan(summary, before, look), { text: ")" }]
      : [];
  return [
    [
      { text: `NEXT  ${riderName(summary, next.rider)}: `, isBold: true },
      { ...nextLabel(summary, next.setup, look), isBold: true },
      ...from,
      { text: enter },
    ],
    reason,
  ];
}

/** What came of the last act; what can be taken back stands at the right, with no time limit. */
function saidLine(shot: Snapshot, width: number, look: Look): Line {
  const { state, summary } = shot;
  const undo = summary.undo === null ? "" : `u: undo ${safeText(summary.undo.label)}`;
  const { ellipsis } = look.glyphs;
  const right = line(cutText(undo, Math.floor(width / 2), ellipsis));
  const unsaid = isHidden(shot) ? followingWords(shot) : (shot.news ?? followingWords(shot));
  const said = safeText(state.said?.text ?? unsaid);
  const left = state.said?.ok === false ? alarm(`not done: ${said}`, look) : line(said);
  return undo === "" ? cutLine(left, width, ellipsis) : ends(left, right, width, ellipsis);
}

function statusLine(shot: Snapshot, width: number, look: Look): Line {
  const { state, status } = shot;
  const count = status.warnings;
  const warnings = count === 0 ? "" : `  ${String(count)} ${count === 1 ? "warning" : "warnings"}`;
  const bell = state.bell === "off" ? "" : "  bell";
  const battery = status.battery === null ? "" : `  ${safeText(status.battery)}`;
  const right = line(`${warnings}${bell}${battery}`.trimStart());
  const mode = `[${state.mode}]`;
  const room = width - lineWidth(right) - 2;
  let keys = mode;
  for (const hint of keyHints(state.mode)) {
    if (textWidth(`${keys}  ${hint}`) <= room) keys += `  ${hint}`;
  }
  return ends([{ text: keys, isBold: true }], right, width, look.glyphs.ellipsis);
}
