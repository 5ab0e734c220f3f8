// The page and the panel of a session that explores, from a real day's figures.
import { describe, expect, it } from "vitest";
import type { Exploration } from "../../../src/domain/exploration.ts";
import { settingName } from "../../../src/domain/explored-values.ts";
import { explorePage, explorePanel } from "../../../src/tui/console/explore-page.ts";
import { type Line, lineWidth } from "../../../src/tui/line.ts";
import { lookOf } from "../../../src/tui/look.ts";
import { bothSheet, ExploreDay, exploreSheet } from "../../app/explore-day.ts";

const LOOK = lookOf("none", true);
const texts = (lines: readonly Line[]): string[] =>
  lines.map((row) =>
    row
      .map((span) => span.text)
      .join("")
      .trimEnd(),
  );

function explored(day: ExploreDay): Exploration {
  const { exploration } = day.summary;
  if (exploration === null) throw new TypeError("nothing is explored");
  return exploration;
}

describe("the page", () => {
  const dayOf = (sheet = exploreSheet, runs = 8): ExploreDay => {
    const day = new ExploreDay(sheet);
    day.rideSuggested(runs);
    return day;
  };

  it("says what was found, draws it, and lists what was ridden", () => {
    const day = dayOf();
    const page = texts(explorePage(explored(day), 80, LOOK, day.summary.ridden));
    expect(page[0]).toMatch(/^EXPLORING rear pressure 8 of 8 runs -+$/);
    const text = page.join("\n");
    expect(text.replaceAll("\n", " ")).toContain("best about 1.50 bar; anything");
    expect(text).toContain("1.75 bar now; your limits 1.30 bar and 1.90 bar");
    expect(text).toMatch(/ limit +best +now +limit\n/);
    expect(text).toMatch(/^value +runs +mean time$/m);
    const counts = page.flatMap((row) => /^1\.\d\d bar +(\d) +1:0\d\.\d$/.exec(row)?.[1] ?? []);
    expect(counts.map(Number).reduce((sum, n) => sum + n, 0)).toBe(8);
  });

  it("has no curve before there is one, and no figure that is not known", () => {
    const page = texts(explorePage(explored(dayOf(exploreSheet, 2)), 80, LOOK));
    expect(page.join("\n")).not.toMatch(/SECONDS AGAINST NOW|spread round|NaN|null|undefined/);
    expect(page.join(" ")).toContain("too early for a curve");
  });

  it("draws a curve for each of two settings, the other at its best", () => {
    const sheet = { ...bothSheet, settings: { ...bothSheet.settings, plannedRuns: 18 } };
    const page = texts(explorePage(explored(dayOf(sheet, 18)), 80, LOOK)).join("\n");
    expect(page).toMatch(/^REAR PRESSURE: SECONDS AGAINST NOW/m);
    expect(page).toMatch(/^SHOCK REBOUND: SECONDS AGAINST NOW/m);
    expect(page.replaceAll("\n", " ")).toMatch(/with rear pressure at 1\.\d\d bar/);
  });

  it("fits any width", () => {
    const day = dayOf();
    for (const width of [40, 60, 80, 200]) {
      for (const look of [LOOK, lookOf("dark", false)]) {
        for (const row of explorePage(explored(day), width, look, day.summary.ridden)) {
          expect(lineWidth(row)).toBeLessThanOrEqual(width);
        }
      }
    }
  });
});

describe("the panel", () => {
  const day = (runs: number): ExploreDay => {
    const made = new ExploreDay(exploreSheet);
    made.rideSuggested(runs);
    return made;
  };

  it("fills its rows exactly, the answer first, the curve where there is room", () => {
    const exploration = explored(day(8));
    for (const rows of [3, 6, 12, 20]) {
      const panel = explorePanel(exploration, 46, rows, LOOK);
      expect(panel).toHaveLength(rows);
      for (const row of panel) expect(lineWidth(row)).toBeLessThanOrEqual(46);
      expect(texts(panel)[1]).toMatch(/^best about 1\.50 bar/);
    }
    expect(texts(explorePanel(exploration, 46, 6, LOOK)).join()).not.toContain("limit  ");
    expect(texts(explorePanel(exploration, 46, 14, LOOK)).join()).toMatch(/limit +best/);
  });

  it("is words alone before there is a curve", () => {
    const panel = texts(explorePanel(explored(day(1)), 46, 12, LOOK));
    expect(panel[1]).toMatch(/^too early for a curve/);
    expect(panel).toHaveLength(12);
  });
});

it("a setting is called what people call it", () => {
  const names = ["rear_pressure_bar", "shock_spring_lbf_per_in", "fork_volume_spacers", "x"];
  expect(names.map((key) => settingName({ key }))).toEqual([
    ...["rear pressure", "shock spring", "fork volume spacers", "x"],
  ]);
});
