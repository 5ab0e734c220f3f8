// What can be done with a passing that is in no run: whose it is, a bike or not, joined or struck out.
import type { Passing } from "../../domain/passing.ts";
import type { Summary } from "../../summary/summary.ts";
import { riderName } from "../look.ts";
import { clockTime } from "../present/seconds.ts";
import { gateNames, passingWords, runName } from "../run-words.ts";
import { riderItems } from "./choices.ts";
import type { PickItem } from "./console-state.ts";
import type { Desk } from "./desk.ts";

/** `finish 10:42:07`: how lists and questions name a passing. */
export function passingName(summary: Summary, passing: Passing): string {
  const gate =
    passing.gate === null
      ? `box ${passing.box ?? "?"}`
      : (gateNames(summary.gates)[passing.gate] ?? "gate");
  return `${gate} ${clockTime(passing.at, summary.settings.zone, true)}`;
}

/** Asks whose passing it is: a run that lacks a finish, or a rider. */
export function assignPassing(desk: Desk, passing: Passing): void {
  const summary = desk.summary();
  const open = summary.runs
    .filter((run) => run.finishedAt === null && (run.startedAt ?? Infinity) < passing.at)
    .reverse();
  const intoRun = open.map(
    (run): PickItem => ({
      label: `belongs to ${runName(run)} of ${riderName(summary, run.rider)}`,
      take: () => {
        desk.say(desk.acts.assignPassing(passing.passingId, { runId: run.runId }));
      },
    }),
  );
  const toRider = riderItems(summary, (rider) => {
    desk.say(desk.acts.assignPassing(passing.passingId, { rider }));
  });
  desk.pick(`Whose is ${passingName(summary, passing)}?`, [...intoRun, ...toRider], "no riders");
}

/** Strikes the passing out. */
export function rejectPassing(desk: Desk, passing: Passing): void {
  desk.say(desk.acts.rejectPassing(passing.passingId, "not a bike"));
}

/** Takes the passing for a bike's after all. */
export function promotePassing(desk: Desk, passing: Passing): void {
  desk.say(desk.acts.promotePassing(passing.passingId));
}

/** Makes a run of two loose passings. */
function joinPassings(desk: Desk, finish: Passing): void {
  const summary = desk.summary();
  const starts = summary.loosePassings.filter((other) => other.gate === 0 && other.at < finish.at);
  const items = [...starts].reverse().map((start) => ({
    label: passingName(summary, start),
    take: () => {
      desk.say(desk.acts.joinPassings(start.passingId, finish.passingId));
    },
  }));
  const title = `${passingName(summary, finish)}: joined with which start?`;
  desk.pick(title, items, "there is no loose start before it");
}

/** Everything that can be done with a passing, as a list. */
export function openPassing(desk: Desk, passing: Passing): void {
  const on = (label: string, act: (desk: Desk, passing: Passing) => void): PickItem => ({
    label,
    take: () => {
      act(desk, passing);
    },
  });
  const summary = desk.summary();
  const items = [
    on("say whose it is", assignPassing),
    on("not a bike: strike it out", rejectPassing),
    on("it was a bike", promotePassing),
    on("make a run of it with a loose start", joinPassings),
  ];
  desk.pick(`${passingName(summary, passing)}: ${passingWords(passing)}. What to do?`, items, "");
}
