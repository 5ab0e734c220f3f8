// The recent runs as rows, loose passings among them; the console's lower left panel.
import type { Run } from "../../domain/run.ts";
import { isTimeHidden } from "../../summary/asked-first.ts";
import { gateSpeeds } from "../../summary/gate-speeds.ts";
import type { Summary } from "../../summary/summary.ts";
import { fillRows, heading, type Line, line } from "../line.ts";
import { type Look, markSpan, riderName } from "../look.ts";
import { listWindow } from "../present/columns.ts";
import { cutText, fitText, safeText, textWidth } from "../present/safe-text.ts";
import { clockTime, plain, plusMinus, runTime } from "../present/seconds.ts";
import {
  gateNames,
  passingWords,
  runName,
  runNumber,
  runRemarks,
  statusWord,
  timeOfRun,
} from "../run-words.ts";
import type { Snapshot } from "./controller.ts";
import { type ListRow, listRows, rowIndex } from "./list-rows.ts";
import { passingName } from "./passing-acts.ts";

/** The panel, exactly `rows` rows, the newest run last unless something else is focused. */
export function runLines(shot: Snapshot, width: number, rows: number, look: Look): readonly Line[] {
  const { summary, state } = shot;
  const all = listRows(summary);
  if (all.length === 0) return emptyLines(summary, width, rows, look);
  const selected = state.home === "SCROLL" ? rowIndex(all, state.selected) : null;
  const { first, end } = listWindow(all.length, rows - 1, selected);
  const below = selected === null ? 0 : Math.max(0, all.length - state.seenRows);
  const shown = all.slice(first, end).map((row, i): Line => {
    const focus = first + i === selected ? ">" : " ";
    return [{ text: focus }, ...rowLine(row, shot, width - 1, look)];
  });
  return fillRows([titleLine(summary, width, below, look), ...shown], rows);
}

function titleLine(summary: Summary, width: number, below: number, look: Look): Line {
  const loose = summary.loosePassings.length;
  const decide = loose === 0 ? "" : `  ${String(loose)} to decide`;
  const news = below === 0 ? "" : `  ${String(below)} new below`;
  const sectors = sectorRoom(width, summary) > 0 ? `  time, then ${sectorNamesOf(summary)}` : "";
  return heading(line(`RUNS${news}${decide}${unexplained(summary)}${sectors}`), width, look.glyphs);
}

/** Asks on until each void has a reason. */
function unexplained(summary: Summary): string {
  const count = summary.runs.filter(
    (run) => run.status === "void" && run.reason === null && run.voidSectors.length === 0,
  ).length;
  return count === 0 ? "" : `  ${String(count)} void: why?`;
}

function sectorNamesOf(summary: Summary): string {
  return summary.sectors.map((name) => safeText(name)).join(", ");
}

const NUMBER = 3;
const TIME = 9;
const SECTOR = 8;
/** Columns that remarks need before sectors get room. */
const REMARKS = 16;

function riderColumns(summary: Summary): number {
  if (summary.riders.length < 2) return 0;
  return Math.min(5, Math.max(...summary.riders.map((each) => textWidth(safeText(each.id)))));
}

/** Columns for a set-up: id and shape. */
function setupColumns(summary: Summary): number {
  return Math.min(8, 2 + Math.max(1, ...summary.setups.map((each) => each.id.length)));
}

/** How many sector columns fit: all or none. */
function sectorRoom(width: number, summary: Summary): number {
  const count = summary.sectors.length;
  const fixed = NUMBER + riderColumns(summary) + setupColumns(summary) + TIME + REMARKS + 6;
  return count > 1 && fixed + count * (SECTOR + 1) <= width ? count : 0;
}

function rowLine(row: ListRow, { summary, now }: Snapshot, width: number, look: Look): Line {
  const { ellipsis } = look.glyphs;
  if (row.kind === "passing") {
    const text = `? ${passingName(summary, row.passing)} ${passingWords(row.passing)}`;
    return line(cutText(text, width, ellipsis));
  }
  const { run } = row;
  // The rider answers before the time is seen.
  const isAsked = isTimeHidden(summary, now, run.runId);
  const rider = riderColumns(summary);
  const mark = markSpan(summary, run.setup, look);
  const setup = setupColumns(summary);
  const before = `${fitText(runNumber(run), NUMBER, ellipsis, "right")} ${
    rider === 0 ? "" : `${fitText(safeText(run.rider), rider, ellipsis)} `
  }`;
  const after = [
    fitText(isAsked ? "asked" : timeCell(run), TIME, ellipsis, "right"),
    ...run.sectorS
      .slice(0, sectorRoom(width, summary))
      .map((timeS) => fitText(isAsked ? "" : runTime(timeS, 2), SECTOR, ellipsis, "right")),
    stateCell(run, look),
  ].join(" ");
  return [
    { text: before },
    { ...mark, text: `${fitText(mark.text, setup, ellipsis)} ` },
    { text: after },
  ];
}

function timeCell(run: Run): string {
  return run.status === "on-course" ? "riding" : timeOfRun(run);
}

function stateCell(run: Run, look: Look): string {
  const word = run.status === "on-course" ? "" : statusWord(run);
  const struck = run.status === "void" ? `${look.glyphs.voidMark} ${word}` : word;
  return [struck, ...runRemarks(run)].filter((text) => text !== "").join(", ");
}

/** What is known about the focused row, in two rows below the panels. */
export function detailLines(shot: Snapshot, look: Look): readonly [Line, Line] {
  const { summary, state } = shot;
  const all = listRows(summary);
  const row = all[rowIndex(all, state.selected) ?? -1];
  if (row === undefined) return [line("this row is gone"), line("")];
  if (row.kind === "passing") {
    return [
      line(`${passingName(summary, row.passing)}: ${passingWords(row.passing)}`),
      line("r: whose it is  Backspace: not a bike  c: it was a bike  Enter: more"),
    ];
  }
  const { run } = row;
  if (isTimeHidden(summary, shot.now, run.runId)) {
    const who = `${runName(run)} (${run.runId}) of ${riderName(summary, run.rider)}`;
    return [line(`${who}: y, how was it? Its time comes after the answer`), line("")];
  }
  const { zone } = summary.settings;
  const started = run.startedAt === null ? "" : ` started ${clockTime(run.startedAt, zone, true)}`;
  const unsure =
    run.uncertaintyS === null
      ? ""
      : ` ${plusMinus(run.uncertaintyS, run.uncertaintyS < 0.02 ? 3 : 1, look.glyphs.plusMinus)}`;
  const first: Line = [
    { text: `${runName(run)} (${run.runId}) of ${riderName(summary, run.rider)} on ` },
    markSpan(summary, run.setup, look),
    { text: `${started}: ${timeOfRun(run)}${unsure} ${statusWord(run)}` },
  ];
  const sectors = run.sectorS.map(
    (timeS, i) => `${safeText(summary.sectors[i] ?? "")} ${runTime(timeS, 2)}`,
  );
  const speeds = speedWords(summary, run);
  const parts = [...runRemarks(run), ...(sectors.length > 1 ? sectors : []), ...speeds];
  return [first, line(parts.join("  "))];
}

/** Speeds at the gates, as bike and beam tell them: `m/s: start 6.1, finish 8.4`. */
function speedWords(summary: Summary, run: Run): readonly string[] {
  const own = gateSpeeds(summary).find((each) => each.runId === run.runId);
  const names = gateNames(summary.gates);
  const speeds = (own?.gates ?? []).map(
    ({ gate, speedMS }) => `${names[gate] ?? "gate"} ${plain(speedMS, 1)}`,
  );
  return speeds.length === 0 ? [] : [`m/s: ${speeds.join(", ")}`];
}

/** Nothing ridden yet: what to do first. */
function emptyLines(summary: Summary, width: number, rows: number, look: Look): readonly Line[] {
  const isByHand = summary.gates.every((gate) => gate.box === null);
  const timing = isByHand
    ? ["s: the rider starts, now", "f or Space: finishes, now"]
    : ["Walk through each beam: all", "gates above must be heard.", "By hand at any time: s, f."];
  const steps = [
    "No runs yet. First:",
    ...timing,
    "1..9: set-up on the bike",
    "w: last run was a warm-up",
    "u: take anything back",
    "?: all keys",
  ];
  return fillRows([heading(line("RUNS"), width, look.glyphs), ...steps.map(line)], rows);
}
