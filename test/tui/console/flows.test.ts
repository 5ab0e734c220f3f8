// Keys through the key layer to the acts: what the operator does with cold hands.
import { describe, expect, it } from "vitest";
import { F1, S1 } from "../../session/a-journal.ts";
import { aDay, heard, summaryOf } from "../a-day.ts";
import { aConsole, type ConsoleUnderTest, choose, mounted, picture } from "./a-console.tsx";

const ESC = "\u001b";
const BACKSPACE = "\u007f";
/** Half a second after the console's first instant, µs: when the first key comes. */
const FIRST_KEY_US = 1_000_500_000;

function modeOf(under: ConsoleUnderTest): string {
  return under.controller.snapshot().state.mode;
}

function saidBy(under: ConsoleUnderTest): string {
  return under.controller.snapshot().state.said?.text ?? "";
}

/** Three runs done, nobody on course. */
function atRest(riders: 1 | 2 = 1): ConsoleUnderTest {
  return aConsole({ journal: heard(aDay({ runs: 3, riders }), 1500), nowS: 1503 });
}

/** Three runs done, one rider on course. */
function oneRiding(riders: 1 | 2 = 1): ConsoleUnderTest {
  const journal = aDay({ runs: 3, riders });
  journal.bike(S1, 1500);
  return aConsole({ journal: heard(journal, 1510), nowS: 1512 });
}

function runId(under: ConsoleUnderTest, index: number): string {
  return under.feed.summary().runs[index]?.runId ?? "none";
}

describe("timing by hand", () => {
  it("keys start, split and finish with the moment of the key", () => {
    const under = oneRiding();
    under.press("sdf");
    expect(under.calls).toEqual([
      `mark 0 ${String(FIRST_KEY_US)}`,
      `mark 1 ${String(FIRST_KEY_US + 500_000)}`,
      `mark 2 ${String(FIRST_KEY_US + 1_000_000)}`,
    ]);
    expect(saidBy(under)).toBe("mark done");
  });

  it("takes the big key for the finish while somebody is on course", () => {
    const under = oneRiding();
    under.press(" ");
    expect(under.calls).toEqual([`mark 2 ${String(FIRST_KEY_US)}`]);
  });

  it("counts a key that bounced once", () => {
    const under = oneRiding();
    under.press("ff", 120);
    under.press("f", 500);
    expect(under.calls).toHaveLength(2);
  });

  it("marks in SCROLL as in LIVE", () => {
    const under = oneRiding();
    under.press("kkf");
    expect(under.calls).toHaveLength(1);
    expect(modeOf(under)).toBe("SCROLL");
  });

  it("says so where there is nobody to pass a split", () => {
    const under = atRest();
    under.press("d");
    expect(under.calls).toEqual([]);
    expect(saidBy(under)).toContain("nobody on course");
  });

  it("takes the big key for 'seen' while nobody is on course", () => {
    const under = aConsole({ journal: aDay({ runs: 3 }), nowS: 2000 });
    const before = under.controller.snapshot().state.alerts.known;
    expect(before.map((known) => known.alert.text)).toContainEqual(
      expect.stringMatching(/^START QUIET FOR /u),
    );
    expect(before.some((known) => known.isAcknowledged)).toBe(false);
    under.press(" ");
    expect(under.calls).toEqual([]);
    const after = under.controller.snapshot().state.alerts.known;
    expect(after.every((known) => known.isAcknowledged)).toBe(true);
    under.press(" ");
    expect(saidBy(under)).toContain("nothing to acknowledge");
  });
});

describe("set-ups and riders", () => {
  it("accepts the suggestion with one key", () => {
    const under = oneRiding();
    const { next } = under.feed.summary().comparison;
    expect(next.setup).toBe("A");
    under.press("\r");
    expect(under.calls).toEqual(["swap R1 A"]);
  });

  it("swaps by the set-up's number", () => {
    const under = atRest();
    under.press("2");
    under.press("9");
    expect(under.calls).toEqual(["swap R1 B"]);
    expect(saidBy(under)).toBe("there is no set-up 9");
  });

  it("swaps from a list, with one hand", () => {
    const under = atRest();
    under.press("b");
    expect(modeOf(under)).toBe("PICK");
    under.press("sd");
    expect(under.calls).toEqual(["swap R1 B"]);
    expect(modeOf(under)).toBe("LIVE");
  });

  it("calls the next waiting rider, leaving out whoever is on course", () => {
    const under = atRest(2);
    const first = under.feed.summary().nextStarter;
    under.press("r");
    expect(under.calls).toEqual([`nextStarter ${first === "R1" ? "R2" : "R1"}`]);
    const riding = oneRiding(2);
    const rider = riding.feed.summary().onCourse[0]?.run.rider;
    riding.press("r");
    expect(riding.calls).not.toContain(`nextStarter ${rider ?? ""}`);
  });

  it("says that nobody else is waiting", () => {
    const under = atRest();
    under.press("r");
    expect(under.calls).toEqual([]);
    expect(saidBy(under)).toBe("nobody else is waiting");
  });
});

describe("mending runs", () => {
  it("voids the last run at once, then asks why", () => {
    const under = atRest();
    const last = runId(under, 2);
    under.press(BACKSPACE);
    expect(under.calls).toEqual([`voidRun ${last} null []`]);
    expect(modeOf(under)).toBe("PICK");
    under.press("6");
    expect(under.calls.at(-1)).toBe(`voidRun ${last} crash []`);
    expect(modeOf(under)).toBe("LIVE");
  });

  it("lets the reason wait, and asks on until there is one", async () => {
    const journal = heard(aDay({ runs: 3 }), 1500);
    const under = aConsole({ journal, nowS: 1503 });
    under.press(`x0`);
    expect(modeOf(under)).toBe("LIVE");
    const body = { run: runId(under, 2), mark: "void" as const, sectors: [], reason: null };
    journal.write(1501, { type: "run-marked", body });
    under.publish();
    expect(await picture(under, 80, 24)).toContain("RUNS  1 void: why?");
  });

  it("takes a reason that is typed", () => {
    const under = atRest();
    under.press("x9");
    expect(modeOf(under)).toBe("TEXT");
    under.press("\r");
    expect(under.controller.snapshot().state.text?.complaint).toContain("type a reason");
    under.press(`a deer${BACKSPACE}r\r`);
    expect(under.calls.at(-1)).toBe(`voidRun ${runId(under, 2)} a deer []`);
  });

  it("does not ask why when the void was refused", () => {
    const journal = heard(aDay({ runs: 3 }), 1500);
    const answer = { ok: false, text: "the session is closed" };
    const under = aConsole({ journal, nowS: 1503, answer });
    under.press("x");
    expect(modeOf(under)).toBe("LIVE");
    expect(saidBy(under)).toBe("the session is closed");
  });

  it("mends the focused run in SCROLL", () => {
    const under = atRest();
    const second = runId(under, 1);
    under.press("kk");
    expect(under.controller.snapshot().state.selected).toBe(`run ${second}`);
    under.press("1w0c");
    expect(under.calls).toEqual([
      `correctSetup ${second} A`,
      `markWarmUp ${second}`,
      `markDnf ${second}`,
      `markOk ${second}`,
    ]);
    under.press(ESC);
    expect(modeOf(under)).toBe("LIVE");
  });

  it("says whose a run was", () => {
    const under = atRest(2);
    under.press("kr2");
    expect(under.calls).toEqual([`correctRider ${runId(under, 2)} R2`]);
    expect(modeOf(under)).toBe("SCROLL");
  });

  it("notes an incident with its sector, and how a run felt", () => {
    const under = atRest();
    const last = runId(under, 2);
    under.press("t32");
    under.press("y7");
    expect(under.calls).toEqual([`noteIncident ${last} near-miss 2`, `rateFeel ${last} feel 7`]);
  });

  it("writes a note on the day in LIVE and on the run in SCROLL", () => {
    const under = atRest();
    under.press("nsun out\r");
    under.press("kn");
    under.press(`${ESC}[200~tyre\nhot${ESC}[201~`);
    under.press("\r");
    expect(under.calls).toEqual(["addNote sun out null", `addNote tyre hot ${runId(under, 2)}`]);
  });

  it("strikes one sector out from the list of everything", () => {
    const under = atRest();
    under.press("k\r");
    under.controller.press({ type: "text", text: "j" }, 3e6);
    const { pick } = under.controller.snapshot().state;
    const at = pick?.items.findIndex((item) => item.label.startsWith("one sector")) ?? -1;
    under.press(`${"j".repeat(at - (pick?.selected ?? 0))}\r`);
    under.press("1");
    expect(under.calls).toEqual([`voidRun ${runId(under, 2)} null [1]`]);
  });

  it("undoes and brings back with one key each", () => {
    const under = atRest();
    under.press("uv");
    expect(under.calls).toEqual(["undo", "redo"]);
  });

  it("marks whoever is longest on course as not finished", () => {
    const under = oneRiding();
    under.press("0");
    expect(under.calls).toEqual([`markDnf ${runId(under, 3)}`]);
  });
});

describe("loose passings", () => {
  function withWalker(): ConsoleUnderTest {
    const journal = aDay({ runs: 3 });
    journal.beam(F1, 1450);
    return aConsole({ journal: heard(journal, 1500), nowS: 1503 });
  }

  it("strikes out, takes for a bike, assigns", () => {
    const under = withWalker();
    const id = under.feed.summary().loosePassings[0]?.passingId ?? "none";
    expect(id).not.toBe("none");
    under.press("k");
    expect(under.controller.snapshot().state.selected).toBe(`passing ${id}`);
    under.press("xc");
    under.press("r1");
    expect(under.calls).toEqual([
      `rejectPassing ${id} not a bike`,
      `promotePassing ${id}`,
      `assignPassing ${id} {"rider":"R1"}`,
    ]);
  });

  it("joins a finish to a loose start, or says that there is none", () => {
    const under = withWalker();
    under.press("k\r");
    under.press("4");
    expect(saidBy(under)).toBe("there is no loose start before it");
    expect(under.calls).toEqual([]);
  });

  it("is no run: a run's keys say so", () => {
    const under = withWalker();
    under.press("k1");
    expect(saidBy(under)).toContain("choose a run");
    under.press("w");
    expect(saidBy(under)).toContain("a passing, not a run");
    expect(under.calls).toEqual([]);
  });
});

describe("the day", () => {
  it("holds the course at once and opens it again", () => {
    const journal = heard(aDay({ runs: 3 }), 1500);
    const under = aConsole({ journal, nowS: 1503 });
    under.press("h");
    journal.write(1501, { type: "course-held", body: { reason: "by the operator" } });
    under.publish();
    under.press("h");
    expect(under.calls).toEqual(["hold by the operator", "openCourse"]);
  });

  it("does not close while somebody is on course, and names them", () => {
    const under = oneRiding();
    choose(under, "close session");
    expect(under.calls).toEqual([]);
    expect(saidBy(under)).toContain("still on course: Rider one since 08:25");
  });

  it("closes only on yes, and never on the key that asked", () => {
    const under = atRest();
    choose(under, "close session");
    expect(modeOf(under)).toBe("CONFIRM");
    under.press("\r");
    expect(under.calls).toEqual([]);
    choose(under, "close session");
    under.press("y");
    expect(under.calls).toEqual(["close"]);
  });

  it("reopens a closed session from the same place", () => {
    const journal = heard(aDay({ runs: 3 }), 1500);
    journal.write(1501, { type: "session-closed", body: {} });
    const under = aConsole({ journal, nowS: 1503 });
    choose(under, "reopen session");
    expect(under.calls).toEqual(["reopen"]);
  });

  it("announces an earlier end and changes what is worth having, in figures only", () => {
    const under = atRest();
    choose(under, "earlier end");
    under.press("ten\r");
    expect(under.controller.snapshot().state.text?.complaint).toContain("whole number");
    under.press(`${BACKSPACE.repeat(3)}10\r`);
    choose(under, "worth having");
    under.press("-1\r");
    expect(under.controller.snapshot().state.text?.complaint).toContain("above nought");
    under.press(`${BACKSPACE.repeat(2)}1,5\r`);
    expect(under.calls).toEqual(["announceEnd R1 10", "setMargin 1.5"]);
  });

  it("notes new conditions and a moved gate", () => {
    const under = atRest();
    choose(under, "conditions");
    under.press("rain\r");
    expect(under.controller.snapshot().state.question?.text).toMatch(
      /faster or slower from here on\? y: the comparison allows for a step .*; n: only noted$/,
    );
    under.press("y");
    choose(under, "gate moved");
    under.press("2re-aimed\r");
    expect(under.calls).toEqual(["markCondition rain true", "markGateMoved 1 re-aimed"]);
  });

  it.each(["n", "\r", "\u001b"])(
    "conditions are only noted where a step is not wanted: %j",
    (no) => {
      const under = atRest();
      choose(under, "conditions");
      under.press(`sun\r${no}`);
      expect(under.calls).toEqual(["markCondition sun false"]);
      expect(modeOf(under)).toBe("LIVE");
    },
  );

  it("takes the time of a mark chosen from the list, not of the list", () => {
    const under = oneRiding();
    under.press("a"); // half a second after the first instant
    under.press("1"); // another half
    expect(under.calls).toEqual([`mark 0 ${String(FIRST_KEY_US + 500_000)}`]);
  });
});

describe("finding one's way", () => {
  it("counts what is new below while one looks back, and returns with Esc", async () => {
    const journal = aDay({ runs: 8 });
    const under = aConsole({ journal, nowS: 3000 });
    under.press("kkk");
    journal.bike(S1, 3000);
    journal.bike(F1, 3131);
    journal.bike(S1, 3300);
    under.publish();
    const { state, summary } = under.controller.snapshot();
    expect(summary.runs.length - state.seenRows).toBe(2);
    expect(await picture(under, 80, 24)).toContain("2 new below");
    under.press(ESC);
    expect(await picture(under, 80, 24)).not.toContain("new below");
  });

  it("leaves at once when nobody is on course", () => {
    const under = atRest();
    under.press("q");
    expect(under.hasQuit()).toBe(true);
  });

  it("asks before it stops recording with a rider on course; Ctrl-C in the question leaves", () => {
    const under = oneRiding();
    under.press("q");
    expect(under.hasQuit()).toBe(false);
    expect(under.controller.snapshot().state.question?.text).toContain("Rider one since 08:25");
    under.press("n");
    expect(under.hasQuit()).toBe(false);
    under.press("q\u0003");
    expect(under.hasQuit()).toBe(true);
  });

  it("does not ask where another program records", () => {
    const journal = aDay({ runs: 3 });
    journal.bike(S1, 1500);
    const status = { recorder: { kind: "elsewhere", pid: 4242 } } as const;
    const under = aConsole({ journal: heard(journal, 1510), nowS: 1512, status });
    under.press("q");
    expect(under.hasQuit()).toBe(true);
  });

  it("rings on a finish if told to", () => {
    const journal = aDay({ runs: 3 });
    journal.bike(S1, 1500);
    const under = aConsole({ journal, nowS: 1505 });
    under.press("?b");
    journal.bike(F1, 1631);
    under.publish();
    expect(under.rings()).toBe(1);
  });

  it("changes the theme and scrolls the help page no further than its end", async () => {
    const under = atRest();
    under.press("?t");
    expect(under.controller.snapshot().state.theme).toBe("dark");
    const shown = mounted(under, 80, 24);
    under.press("j".repeat(300));
    const end = await shown.terminal.text();
    expect(end.join("\n")).not.toContain("more rows below");
    under.press("k");
    expect((await shown.terminal.text()).join("\n")).toContain("more rows below");
    shown.end();
    under.press(ESC);
    expect(modeOf(under)).toBe("LIVE");
  });

  it("does nothing on a key that means nothing", () => {
    const under = atRest();
    const before = under.controller.snapshot().state;
    under.press(`;${ESC}[1;5P`);
    expect(under.controller.snapshot().state).toEqual(before);
  });
});

describe("what comes from outside", () => {
  it("drives the terminal nowhere", async () => {
    const journal = aDay({ runs: 1 });
    journal.write(1000, {
      type: "rider-added",
      body: {
        id: "R9",
        name: `${ESC}]0;x\u0007${ESC}[2J<b>=1+1`,
        tag: null,
        newTo: [],
        setups: null,
        plannedRuns: null,
      },
    });
    journal.write(1001, {
      type: "passing-assigned",
      body: { passing: null, rider: "R9", run: null },
    });
    journal.bike(S1, 1100);
    journal.bike(F1, 1230);
    const notices = [`${ESC}[31mred\u009b2J`];
    const under = aConsole({ journal, nowS: 1240, status: { notices } });
    const shown = mounted(under, 100, 30);
    const text = (await shown.terminal.text()).join("\n");
    shown.end();
    const written = shown.terminal.writes.join("");
    expect(written.split(`${ESC}[2J`)).toHaveLength(2); // the one of entering
    expect(written).not.toContain("]0;");
    expect(written).not.toContain(`${ESC}[31m`);
    expect(text).toContain("<b>=1+1");
    expect(summaryOf(journal).lastFinished?.rider).toBe("R9");
  });
});
