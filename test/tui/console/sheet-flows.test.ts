// Keys to the acts that add to the sheet on the day, and to the end that the clock proposes.
import { describe, expect, it } from "vitest";
import { B, R1 } from "../../session/a-journal.ts";
import { aDay, heard, ride } from "../a-day.ts";
import { aConsole, type ConsoleUnderTest, choose, picture } from "./a-console.tsx";

const BACKSPACE = "\u007f";

function atRest(runs: number, answer?: { ok: boolean; text: string }): ConsoleUnderTest {
  const journal = aDay({ runs });
  const sheet = { rear_pressure_bar: 1.6, rear_insert: "foam", tyre: "2.4", tubeless: true };
  journal.write(2, {
    type: "setup-changed",
    body: { setup: "B", name: B.name, values: sheet },
  });
  heard(journal, 600 + runs * 300);
  const given = { journal, nowS: 603 + runs * 300 };
  return aConsole(answer === undefined ? given : { ...given, answer });
}

function stateOf(under: ConsoleUnderTest) {
  return under.controller.snapshot().state;
}

function labels(under: ConsoleUnderTest): readonly string[] {
  return stateOf(under).pick?.items.map((item) => item.label) ?? [];
}

describe("adding a set-up", () => {
  it("takes the next free letter and a copy of the baseline with Enter alone", () => {
    const under = atRest(3);
    choose(under, "add a set-up");
    expect(stateOf(under).text?.value).toBe("C");
    under.press("\rthicker foam\r");
    expect(stateOf(under).pick?.title).toBe("Set-up C starts as a copy of");
    expect(labels(under)).toEqual(["A  No insert", "B  Insert"]);
    under.press("\r");
    expect(stateOf(under).mode).toBe("CONFIRM");
    expect(under.calls).toEqual([]);
    under.press("y");
    expect(under.calls).toEqual(["addSetup C thicker foam A"]);
    expect(stateOf(under)).toMatchObject({ mode: "LIVE", said: { text: "addSetup done" } });
  });

  it("takes an id of one's own, the id for the name, a copy of another one", () => {
    const under = atRest(3);
    choose(under, "add a set-up");
    under.press(`${BACKSPACE}foam-2\r\r2y`);
    expect(under.calls).toEqual(["addSetup foam-2 foam-2 B"]);
  });

  it("says while it is typed that an id will not do", () => {
    const under = atRest(3);
    choose(under, "add a set-up");
    under.press(`${BACKSPACE}B\r`);
    expect(stateOf(under).text).toMatchObject({
      value: "B",
      complaint: "B is there already: choose another id",
    });
    under.press("!\r");
    expect(stateOf(under).text?.complaint).toContain('"B!" is no id');
  });

  it("marks the baseline in the list wherever it stands", () => {
    const under = atRest(0);
    const { setups } = under.feed.summary();
    const turned = setups.toReversed();
    under.feed.publish({ ...under.feed.summary(), setups: turned });
    choose(under, "add a set-up");
    under.press("\r\r\ry");
    expect(under.calls).toEqual(["addSetup C C A"]);
  });

  it("says before what it is compared by, and that it stays", async () => {
    const late = atRest(3);
    choose(late, "add a set-up");
    late.press("\r\r\r");
    const shown = await picture(late, 80, 24);
    expect(shown).toContain("this set-up is compared by the open band");
    expect(shown).toContain("Add set-up C, C, a copy of A?");
    const early = atRest(0);
    choose(early, "add a set-up");
    early.press("\r\r\r");
    const text = stateOf(early).question?.text;
    expect(text).toBe(
      "The plan is fixed again with it. It can't be taken away again. Add set-up C, C, a copy of A?",
    );
    early.press("\r");
    expect(early.calls).toEqual([]);
    expect(stateOf(early).said?.text).toBe("left as it is");
  });

  it("shows why it was refused", async () => {
    const refused = { ok: false, text: "too few runs: plan 18" };
    const under = atRest(0, refused);
    choose(under, "add a set-up");
    under.press("\r\r\ry");
    expect(await picture(under, 80, 24)).toContain("not done: too few runs: plan 18");
  });
});

describe("adding a rider", () => {
  it("takes the next free number, asks for the name, then whether", () => {
    const under = atRest(3);
    choose(under, "add a rider");
    expect(stateOf(under).text?.value).toBe("R2");
    under.press("\rRider two\r");
    expect(stateOf(under).question?.text).toContain("Add rider R2, Rider two?");
    under.press("y");
    expect(under.calls).toEqual(["addRider R2 Rider two"]);
  });

  it("says that an id is taken", () => {
    const under = atRest(3);
    choose(under, "add a rider");
    under.press(`${BACKSPACE}1\r`);
    expect(stateOf(under).text?.complaint).toBe(`${R1.id} is there already: choose another id`);
  });
});

describe("changing a set-up's sheet", () => {
  it("shows the lines as they are written", async () => {
    const under = atRest(3);
    choose(under, "change a set-up's sheet");
    under.press("2");
    expect(labels(under)).toEqual([
      "rear_pressure_bar = 1.6",
      "rear_insert = foam",
      'tyre = "2.4"',
      "tubeless = true",
      "another line: type key = value",
      "name: Insert",
    ]);
    const shown = await picture(under, 80, 24);
    expect(shown).toContain("Sheet of set-up B: choose a line to change");
    expect(shown).toContain("1  rear_pressure_bar = 1.6");
  });

  it("changes a line where it stands, and comes back to the sheet", () => {
    const under = atRest(3);
    choose(under, "change a set-up's sheet");
    under.press(`21${BACKSPACE}45\r`);
    expect(under.calls).toEqual(["writeSetupLine B rear_pressure_bar 1.45"]);
    expect(stateOf(under).pick?.title).toContain("Sheet of set-up B");
    under.press("\u001b");
    expect(stateOf(under).mode).toBe("LIVE");
  });

  it.each([
    ["fork_pressure_psi = 82,5", "fork_pressure_psi 82.5"],
    ["head_angle_deg=-1.5", "head_angle_deg -1.5"],
    ["rear_insert = ring, 60 g", "rear_insert ring, 60 g"],
    ["tubeless = false", "tubeless false"],
    ["rear_insert =", "rear_insert null"],
    ['tyre = "2.4"', "tyre 2.4"],
  ])("writes %s", (typed, call) => {
    const under = atRest(3);
    choose(under, "change a set-up's sheet");
    under.press("25");
    under.press(`${typed}\r`);
    expect(under.calls).toEqual([`writeSetupLine B ${call}`]);
  });

  it("leaves a line that is none to be mended, and several pasted at once", () => {
    const under = atRest(3);
    choose(under, "change a set-up's sheet");
    under.press("25");
    for (const typed of ["foam", "= foam", "\u001b[200~a = b\nc = d\u001b[201~"]) {
      under.press(`${typed}\r`);
      expect(stateOf(under).text?.complaint).toContain("one line, key = value");
      under.press(BACKSPACE.repeat(typed.length));
    }
    expect(under.calls).toEqual([]);
  });

  it("keeps what was typed when it was refused", () => {
    const refused = { ok: false, text: "rear_pressure_bar can't be soft: write a number in bar" };
    const under = atRest(3, refused);
    choose(under, "change a set-up's sheet");
    under.press(`21${BACKSPACE.repeat(3)}soft\r`);
    expect(stateOf(under).text).toMatchObject({
      value: "rear_pressure_bar = soft",
      complaint: refused.text,
    });
  });

  it("changes the name", () => {
    const under = atRest(3);
    choose(under, "change a set-up's sheet");
    under.press("26, cut\r");
    expect(under.calls).toEqual(["renameSetup B Insert, cut"]);
  });
});

describe("an earlier end proposed by the clock", () => {
  /** Six of twelve planned runs in so many minutes, five a lap: no more than `minutes / 5` fit. */
  function shortOfTime(minutes: number, isBlind = false): ConsoleUnderTest {
    const journal = heard(aDay({ runs: 6, given: { minutes, lapMinutes: 5 } }), 2400);
    return aConsole({ journal, nowS: 2403, status: { isBlind } });
  }

  it.each([
    [50, "time for 4 more runs: end the plan at run 10?"],
    [45, "time for 3 more runs: end the plan at run 9?"], // soon too late: the reason says it as well
  ])("is a notice until it was seen: %i minutes", async (minutes, words) => {
    const under = shortOfTime(minutes);
    const notice = `${words} In the list (a): earlier end`;
    expect(await picture(under, 80, 24)).toContain(notice);
    under.press(" ");
    expect(await picture(under, 80, 24)).not.toContain(notice);
  });

  it("is the same one after another run, and seen stays seen", async () => {
    const journal = heard(aDay({ runs: 5, given: { minutes: 50, lapMinutes: 5 } }), 2100);
    const under = aConsole({ journal, nowS: 2103 });
    expect(await picture(under, 80, 24)).toContain("time for 5 more runs: end the plan at run 10?");
    under.press(" ");
    journal.write(2104, {
      type: "setup-swapped",
      body: { rider: "R1", setup: "B", minutes: null, checked: true },
    });
    ride(journal, 2105, 129.118);
    under.publish();
    expect(under.feed.summary().earlierEnd).toMatchObject({ endRun: 10, runsLeft: 4 });
    expect(await picture(under, 80, 24)).not.toContain("end the plan");
  });

  it("stands in the text of the act already", () => {
    const under = shortOfTime(50);
    choose(under, "earlier end");
    const endRun = String(under.feed.summary().earlierEnd?.endRun);
    expect(stateOf(under).text?.value).toBe(endRun);
    under.press("\r");
    expect(under.calls).toEqual([`announceEnd R1 ${endRun}`]);
  });

  it("is hidden where the standing is", async () => {
    const under = shortOfTime(50, true);
    expect(under.feed.summary().earlierEnd).not.toBeNull();
    expect(await picture(under, 80, 24)).not.toContain("end the plan");
  });
});
