// The operator's console as one Ink tree: lays the panels out and draws them; mounted by run-console.tsx.
import { Box, Text } from "ink";
import { type ReactElement, useEffect, useSyncExternalStore } from "react";
import { AS_PLANNED, type WhatIf } from "../../domain/plan.ts";
import { askedFirst, ridersAsked } from "../../summary/asked-first.ts";
import { budgetLines } from "../../summary/budget-lines.ts";
import { callUpAhead } from "../../summary/call-up-ahead.ts";
import { type PlanAhead, planAhead } from "../../summary/plan-ahead.ts";
import type { Summary } from "../../summary/summary.ts";
import { timeBudget } from "../../summary/time-budget.ts";
import { fillRows, heading, type Line, line } from "../line.ts";
import { Lines } from "../lines.tsx";
import { type Look, lookOf, riderName } from "../look.ts";
import { runName } from "../run-words.ts";
import type { Size } from "../screen/screen.ts";
import { callUpPage } from "./call-up-page.ts";
import {
  afterAnswersLines,
  blindLines,
  comparedRider,
  comparisonLines,
} from "./comparison-lines.ts";
import { comparisonPage } from "./comparison-page.ts";
import type { ConsoleState } from "./console-state.ts";
import type { Controller, Snapshot } from "./controller.ts";
import { courseLines } from "./course-lines.ts";
import { explorePage, explorePanel } from "./explore-page.ts";
import { footLines, isHidden } from "./foot-lines.ts";
import { gateCheckPage } from "./gate-check-page.ts";
import { alertLines, headerLines } from "./header-lines.ts";
import { lastTimeLines } from "./last-time-lines.ts";
import { type Layout, layoutOf, tooSmallWords } from "./layout.ts";
import { listRows, rowIndex } from "./list-rows.ts";
import {
  batteryWords,
  boxLines,
  emergencyLines,
  helpLines,
  pageOf,
  pickLines,
} from "./page-lines.ts";
import { planPage, planPanel } from "./plan-page.ts";
import { runLines } from "./run-lines.ts";

export interface ConsoleProps {
  readonly controller: Controller;
  readonly isAscii: boolean;
  readonly size: () => Size;
  readonly subscribeSize: (listener: () => void) => () => void;
}

export function Console(props: ConsoleProps): ReactElement {
  const { controller } = props;
  const shot = useSyncExternalStore(controller.subscribe, controller.snapshot);
  const size = useSyncExternalStore(props.subscribeSize, props.size);
  const layout = layoutOf(size);
  useEffect(() => {
    if (layout !== undefined) controller.limitAlerts(layout.alertRows);
  });
  if (layout === undefined) return <Text>{tooSmallWords(size)}</Text>;
  const look = lookOf(shot.state.theme, props.isAscii);
  const { width } = layout;
  const top = [
    ...headerLines(shot, width, look),
    ...alertLines(shot.state.alerts, layout.alertRows, look),
  ];
  const { ellipsis } = look.glyphs;
  return (
    <Box width={width} height={layout.height} flexDirection="column">
      <Lines lines={top} width={width} height={top.length} ellipsis={ellipsis} />
      <Middle shot={shot} layout={layout} look={look} controller={controller} />
      <Lines lines={footLines(shot, width, look)} width={width} height={4} ellipsis={ellipsis} />
    </Box>
  );
}

interface MiddleProps {
  readonly shot: Snapshot;
  readonly layout: Layout;
  readonly look: Look;
  readonly controller: Controller;
}

function Middle({ shot, layout, look, controller }: MiddleProps): ReactElement {
  const { mode } = shot.state;
  if (mode === "HELP" || mode === "EMERGENCY") {
    return <PageView shot={shot} layout={layout} look={look} controller={controller} />;
  }
  const upper = {
    left: courseLines(shot, layout.upperLeft, layout.upperRows, look),
    right: lastTimeLines(
      shot.summary,
      layout.upperRight,
      layout.upperRows,
      layout.digitRows,
      look,
      askedFirst(shot.summary, shot.now),
    ),
  };
  return (
    <>
      <Halves
        left={upper.left}
        right={upper.right}
        leftWidth={layout.upperLeft}
        rightWidth={layout.upperRight}
        height={layout.upperRows}
        look={look}
      />
      <Lower shot={shot} layout={layout} look={look} controller={controller} />
    </>
  );
}

function Lower({ shot, layout, look }: MiddleProps): ReactElement {
  const { pick } = shot.state;
  const { width, lowerRows: rows } = layout;
  if (pick !== null) {
    const lines = pickLines(pick, width, rows, look);
    return <Lines lines={lines} width={width} height={rows} ellipsis={look.glyphs.ellipsis} />;
  }
  return (
    <Halves
      left={runLines(shot, layout.lowerLeft, rows, look)}
      right={comparisonPanel(shot, layout, look)}
      leftWidth={layout.lowerLeft}
      rightWidth={layout.lowerRight}
      height={rows}
      look={look}
    />
  );
}

/** The comparison of the focused run's rider, else of the last one's. */
function comparisonPanel(shot: Snapshot, layout: Layout, look: Look): readonly Line[] {
  const { lowerRight: width, lowerRows: rows } = layout;
  if (isHidden(shot)) return blindLines(width, rows, look);
  const { exploration, check, runs, isClosed } = shot.summary;
  if (exploration !== null && check === null) {
    return askedFirst(shot.summary, shot.now) === null
      ? explorePanel(exploration, width, rows, look)
      : afterAnswersLines(width, rows, look);
  }
  if (!isClosed && runs.every((run) => run.k === null)) {
    // What was tried on the plan page is no plan of this day.
    return planPanel(planFor(shot.summary, AS_PLANNED), width, rows, look);
  }
  const all = listRows(shot.summary);
  const focused = all[rowIndex(all, shot.state.selected) ?? -1];
  const rider = focused?.kind === "run" ? focused.run.rider : comparedRider(shot.summary);
  if (rider === undefined) return fillRows([line("no rider yet")], rows);
  const asked = ridersAsked(shot.summary, shot.now);
  return comparisonLines(shot.summary, rider, width, rows, look, asked);
}

function PageView({ shot, layout, look, controller }: MiddleProps): ReactElement {
  const { width } = layout;
  const rows = layout.upperRows + layout.lowerRows;
  const { mode, page, pageTop } = shot.state;
  const lines =
    mode === "EMERGENCY" ? emergencyLines(shot, width, look) : pageLines(page, shot, width, look);
  const shown = pageOf(lines, pageTop, rows);
  useEffect(() => {
    controller.limitPage(shown.last);
  });
  return <Lines lines={shown.lines} width={width} height={rows} ellipsis={look.glyphs.ellipsis} />;
}

function pageLines(
  page: ConsoleState["page"],
  shot: Snapshot,
  width: number,
  look: Look,
): readonly Line[] {
  switch (page) {
    case "boxes":
      return boxLines(shot, width, look);
    case "comparison":
      return comparisonPage(shot, width, look);
    case "plan":
      return planPage(planFor(shot.summary, shot.state.whatIf), shot.state.whatIf, width, look);
    case "gates":
      return gateLines(shot, width, look);
    case "budget":
      return budgetPage(shot, width, look);
    case "call-up":
      return callUpLines(shot, width, look);
    case "exploring":
      return exploringLines(shot, width, look);
    case "keys":
      return helpLines(width, look);
  }
}

function callUpLines({ summary, now }: Snapshot, width: number, look: Look): readonly Line[] {
  const list = callUpAhead(summary, now);
  const names = (rider: string): string => riderName(summary, rider);
  return callUpPage(list, now, summary.settings.zone, names, width, look);
}

function gateLines({ summary, now, state }: Snapshot, width: number, look: Look): readonly Line[] {
  const lastsTo = (id: string): string | null => {
    const box = summary.boxes.find((each) => each.box === id);
    return box === undefined ? null : batteryWords(box, now, summary.settings.zone);
  };
  return gateCheckPage({ summary, now, since: state.checkedSince ?? now, lastsTo }, width, look);
}

function budgetPage({ summary, state }: Snapshot, width: number, look: Look): readonly Line[] {
  const run = summary.runs.find((each) => each.runId === state.budgetOf);
  const budget = run === undefined ? null : timeBudget(summary, run.runId);
  if (run === undefined || budget === null) return [line("this run has no time")];
  const title = `UNCERTAINTY OF ${runName(run).toUpperCase()}, ${riderName(summary, run.rider)}`;
  return [heading(line(title), width, look.glyphs), ...budgetLines(budget).map(line)];
}

function exploringLines(shot: Snapshot, width: number, look: Look): readonly Line[] {
  const { exploration, ridden } = shot.summary;
  if (isHidden(shot)) return blindLines(width, 2, look);
  if (askedFirst(shot.summary, shot.now) !== null) return afterAnswersLines(width, 2, look);
  return exploration === null
    ? [line("the present value is not known: write it on the set-up's sheet")]
    : explorePage(exploration, width, look, ridden);
}

/** Plans take a moment: the last one is kept while nothing that it rests on has changed. */
let lastPlan: PlanAhead | undefined;

function planFor(summary: Summary, whatIf: WhatIf): PlanAhead {
  lastPlan = planAhead(summary, whatIf, lastPlan);
  return lastPlan;
}

interface HalvesProps {
  readonly left: readonly Line[];
  readonly right: readonly Line[];
  readonly leftWidth: number;
  readonly rightWidth: number;
  readonly height: number;
  readonly look: Look;
}

/** Two panels side by side with a bar between. */
function Halves(props: HalvesProps): ReactElement {
  const { bar, ellipsis } = props.look.glyphs;
  const bars = Array.from({ length: props.height }, () => line(` ${bar} `));
  const { height } = props;
  return (
    <Box height={height} flexShrink={0}>
      <Lines lines={props.left} width={props.leftWidth} height={height} ellipsis={ellipsis} />
      <Lines lines={bars} width={3} height={height} ellipsis={ellipsis} />
      <Lines lines={props.right} width={props.rightWidth} height={height} ellipsis={ellipsis} />
    </Box>
  );
}
