// The other side of the console's contract: notes which acts were asked for, and answers like the real ones.
import type { ConsoleActs, Said } from "../../src/tui/console/acts.ts";

export interface RecordedActs {
  readonly acts: ConsoleActs;
  /** One line a call: `swap R1 B`. */
  readonly calls: string[];
}

export function recordActs(answer: Partial<Said> = {}): RecordedActs {
  const calls: string[] = [];
  const act =
    (name: string) =>
    (...given: readonly unknown[]): Said => {
      const words = given.map((each) => (typeof each === "string" ? each : JSON.stringify(each)));
      calls.push([name, ...words].join(" "));
      return { ok: true, text: `${name} done`, ...answer };
    };
  return {
    calls,
    acts: {
      mark: act("mark"),
      swap: act("swap"),
      correctSetup: act("correctSetup"),
      correctRider: act("correctRider"),
      voidRun: act("voidRun"),
      markOk: act("markOk"),
      markWarmUp: act("markWarmUp"),
      markDnf: act("markDnf"),
      noteIncident: act("noteIncident"),
      addNote: act("addNote"),
      rateFeel: act("rateFeel"),
      rejectPassings: act("rejectPassings"),
      insertPassing: act("insertPassing"),
      takeMeasure: act("takeMeasure"),
      setDrift: act("setDrift"),
      rideValues: act("rideValues"),
      beginCheck: act("beginCheck"),
      assignPassing: act("assignPassing"),
      rejectPassing: act("rejectPassing"),
      promotePassing: act("promotePassing"),
      splitRun: act("splitRun"),
      joinPassings: act("joinPassings"),
      nextStarter: act("nextStarter"),
      announceEnd: act("announceEnd"),
      markCondition: act("markCondition"),
      markGateMoved: act("markGateMoved"),
      hold: act("hold"),
      openCourse: act("openCourse"),
      close: act("close"),
      reopen: act("reopen"),
      undo: act("undo"),
      redo: act("redo"),
      addSetup: act("addSetup"),
      addRider: act("addRider"),
      writeSetupLine: act("writeSetupLine"),
      renameSetup: act("renameSetup"),
      setMargin: act("setMargin"),
    },
  };
}
