// A session that explores, on a page of its own and in the comparison's panel: what was found, the
// curve, the values ridden. Called by the console's drawing.

import type { Exploration, SettingFound } from "../../domain/exploration.ts";
import { settingName, valuesName } from "../../domain/explored-values.ts";
import { EXPLORE_HELP, type ValuesRidden } from "../../summary/exploration.ts";
import { fillRows, heading, type Line, line } from "../line.ts";
import type { Look } from "../look.ts";
import { type Column, tableRow } from "../present/columns.ts";
import { curveChart, curveLegend } from "../present/curve-chart.ts";
import { safeText, wrapText } from "../present/safe-text.ts";
import { plain, runTime, signed } from "../present/seconds.ts";

/** Rows of a curve on the page, and what the panel's needs at least. */
const PAGE_CHART_ROWS = 14;
const PANEL_CHART_ROWS = { least: 7, most: 12 } as const;
/** Columns beyond which a curve is no easier to read. */
const WIDEST_CHART = 80;

/**
 * Everything that the runs say: sentences, figures, a curve a setting, the values ridden.
 *
 * @param ridden - the values ridden so far
 */
export function explorePage(
  exploration: Exploration,
  width: number,
  look: Look,
  ridden: readonly ValuesRidden[] = [],
): readonly Line[] {
  const { words, because, settings } = exploration;
  const section = (title: string): Line => heading(line(title), width, look.glyphs);
  return [
    titleOf(exploration, width, look),
    ...[because, ...words, ...figureWords(exploration)].flatMap((text) => wrapped(text, width)),
    ...settings.flatMap((found) => {
      const chart = curveChart(found, Math.min(width, WIDEST_CHART), PAGE_CHART_ROWS, look.glyphs);
      if (chart.length === 0) return [];
      return [
        section(
          `${settingName(found.setting).toUpperCase()}: SECONDS AGAINST NOW, BELOW 0 QUICKER`,
        ),
        ...chart.map(line),
        ...wrapped(`${curveLegend(look.glyphs)}${othersHeld(exploration, found)}`, width),
      ];
    }),
    ...(ridden.length === 0 ? [] : [section("VALUES RIDDEN"), ...riddenRows(ridden, width, look)]),
    section("HOW TO READ IT"),
    ...EXPLORE_HELP.flatMap((text) => wrapped(text, width)),
  ];
}

/** The same in short, exactly `rows` rows; the curve where there is room for it. */
export function explorePanel(
  exploration: Exploration,
  width: number,
  rows: number,
  look: Look,
): readonly Line[] {
  const texts = exploration.words.map((text) => wrapped(text, width));
  const [found] = exploration.settings.filter(({ curve }) => curve.length > 0);
  const least = found === undefined ? 0 : PANEL_CHART_ROWS.least;
  const lines: Line[] = [titleOf(exploration, width, look)];
  for (const [i, text] of texts.entries()) {
    // The first sentence is the answer: whatever must go, it stays.
    const room = rows - lines.length - (i === 0 ? 0 : least);
    if (text.length <= room) lines.push(...text);
  }
  const height = Math.min(PANEL_CHART_ROWS.most, rows - lines.length);
  const chart =
    found === undefined || height < PANEL_CHART_ROWS.least
      ? []
      : curveChart(found, width, height, look.glyphs);
  return fillRows([...lines, ...chart.map(line)], rows);
}

function titleOf({ settings, runs, plannedRuns }: Exploration, width: number, look: Look): Line {
  const names = settings.map(({ setting }) => settingName(setting)).join(" and ");
  const of = plannedRuns === null ? "" : ` of ${String(plannedRuns)}`;
  const count = `${String(runs)}${of} ${plannedRuns === null && runs === 1 ? "run" : "runs"}`;
  return heading(line(safeText(`EXPLORING ${names}  ${count}`)), width, look.glyphs);
}

function figureWords({ settings, spreadS, df, gainS, gainErrorS }: Exploration): readonly string[] {
  const limits = settings.map(({ setting, present }) => {
    const name = (value: number): string => valuesName([setting], [value]);
    const { low, high } = setting;
    return `${settingName(setting)}: ${name(present)} now; your limits ${name(low)} and ${name(high)}, nothing outside is suggested`;
  });
  const spread =
    spreadS === null || df === null
      ? []
      : [`spread round the curve ${plain(spreadS, 2)} s, ${String(df)} degrees of freedom`];
  const gain =
    gainS === null || gainErrorS === null
      ? []
      : [`best values against now ${signed(gainS, 2)} s, standard error ${plain(gainErrorS, 2)} s`];
  return [...limits, ...spread, ...gain];
}

/** A curve of two settings is a cut: said where. */
function othersHeld({ settings }: Exploration, found: SettingFound): string {
  const others = settings.filter((each) => each !== found && each.best !== null);
  if (others.length === 0) return "";
  const held = others.map(
    ({ setting, best }) => `${settingName(setting)} at ${valuesName([setting], [best ?? 0])}`,
  );
  return `; with ${held.join(", ")}`;
}

function riddenRows(ridden: readonly ValuesRidden[], width: number, look: Look): readonly Line[] {
  const columns: readonly Column[] = [
    { width: Math.min(24, width - 16), align: "left" },
    { width: 4, align: "right" },
    { width: 10, align: "right" },
  ];
  const row = (cells: readonly string[]): Line =>
    line(tableRow(cells, columns, look.glyphs.ellipsis));
  return [
    row(["value", "runs", "mean time"]),
    ...ridden.map(({ name, runs, meanS }) => row([name, String(runs), runTime(meanS, 1)])),
    ...wrapped("mean times as ridden: the trend over the day is still in them", width),
  ];
}

function wrapped(text: string, width: number): readonly Line[] {
  return wrapText(safeText(text), width).map(line);
}
