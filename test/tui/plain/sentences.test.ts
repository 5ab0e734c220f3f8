// A day in sentences: what a pipe, a log or a braille line gets instead of a screen.
import { describe, expect, it } from "vitest";
import type { Content } from "../../../src/journal/content.ts";
import { createAlertTeller } from "../../../src/tui/plain/alert-sentences.ts";
import { sentencesBetween } from "../../../src/tui/plain/sentences.ts";
import { F1, type JournalWriter, P1, S1 } from "../../session/a-journal.ts";
import { aDay, heard, instant, ride, summaryOf } from "../a-day.ts";

/** What is said of entries written by `happen` after the journal so far. */
function said(
  journal: JournalWriter,
  happen: (journal: JournalWriter) => void,
  isBlind = false,
): readonly string[] {
  const before = summaryOf(journal);
  happen(journal);
  return sentencesBetween(before, summaryOf(journal), { isBlind });
}

function lastRunId(journal: JournalWriter): string {
  return summaryOf(journal).runs.at(-1)?.runId ?? "none";
}

describe("sentences", () => {
  it("open with how things stand", () => {
    const [first, ...rest] = sentencesBetween(null, summaryOf(aDay({ runs: 8 })));
    expect(first).toBe("Upper woods, Rear tyre insert, upper woods: 8 runs so far");
    expect(rest[0]).toMatch(/^B quicker by 2\.\d\d s \(between -\d\.\d\d and -\d\.\d\d s\)/u);
    expect(rest[1]).toMatch(/^next: Rider one on [AB] (?:No insert|Insert): /u);
  });

  it("say a start, a split and a finish, one each", () => {
    const journal = aDay({ runs: 1 });
    expect(
      said(journal, (j) => {
        j.bike(S1, 900);
      }),
    ).toEqual(["08:15:00 Rider one started on A No insert"]);
    expect(
      said(journal, (j) => {
        j.bike(P1, 959.25);
      }),
    ).toEqual(["Rider one passed split 1 after 59.25"]);
    const finish = said(journal, (j) => {
      j.bike(F1, 1031.5);
    });
    expect(finish[0]).toBe("08:17:11 Rider one finished run 2 on A No insert: 2:11.500");
  });

  it("say that a time was keyed by hand", () => {
    const journal = aDay({ runs: 0, isByHand: true });
    journal.key(0, 600);
    const [sentence] = said(journal, (j) => {
      j.key(2, 731.4);
    });
    expect(sentence).toBe("08:12:11 Rider one finished run 1 on A No insert: 2:11.4, by hand");
  });

  it("say the comparison once a run has moved it, and the suggestion if it is new", () => {
    const journal = aDay({ runs: 7 });
    const moved = /^(?:can't tell yet|B quicker)/u;
    const started = said(journal, (j) => {
      j.bike(S1, 2700);
      j.bike(P1, 2759);
    });
    expect(started.filter((each) => moved.test(each))).toEqual([]);
    const finished = said(journal, (j) => {
      j.bike(F1, 2832);
    });
    expect(finished.filter((each) => moved.test(each))).toHaveLength(1);
  });

  it("say the suggestion only when it is a new one", () => {
    const journal = aDay({ runs: 0 });
    const told: boolean[] = [];
    const changed: boolean[] = [];
    for (let run = 1; run <= 6; run++) {
      const before = summaryOf(journal).comparison.next;
      const body = { rider: "R1", setup: before.setup ?? "A", minutes: null, checked: true };
      journal.write(290 + run * 300, { type: "setup-swapped", body });
      const sentences = said(journal, (j) => {
        ride(j, 300 + run * 300, 130 + (run % 3));
      });
      const { next } = summaryOf(journal).comparison;
      told.push(sentences.some((each) => each.startsWith("next: ")));
      changed.push(before.setup !== next.setup || before.stop !== next.stop);
    }
    expect(told).toEqual(changed);
    expect(new Set(told).size).toBe(2);
  });

  it("say a void with its reason, an undo, a warm-up, a DNF", () => {
    const journal = aDay({ runs: 2 });
    const run = lastRunId(journal);
    let seq = 0;
    const voided = said(journal, (j) => {
      const body = { run, mark: "void" as const, sectors: [], reason: "a deer" };
      seq = j.write(1200, { type: "run-marked", body });
    });
    expect(voided).toContain("run 2 of Rider one is void: a deer");
    const undone = said(journal, (j) => {
      j.undo(1201, seq);
    });
    expect(undone).toContain("run 2 of Rider one counts");
    const warmUp = said(journal, (j) => {
      j.mark(1202, summaryOf(j).runs[0]?.runId ?? "", "warm-up");
    });
    expect(warmUp).toContain("Rider one: that was a warm-up");
    journal.bike(S1, 1300);
    const dnf = said(journal, (j) => {
      j.mark(1400, lastRunId(j), "dnf");
    });
    expect(dnf[0]).toMatch(/^run 2 of Rider one is DNF/u);
  });

  it("say swaps, also those taken back", () => {
    const journal = aDay({ runs: 1 });
    let seq = 0;
    const body = { rider: "R1", setup: "B", minutes: null, checked: true };
    const swapped = said(journal, (j) => {
      seq = j.write(800, { type: "setup-swapped", body });
    });
    expect(swapped).toContain("08:13:20 B Insert fitted for Rider one");
    const undone = said(journal, (j) => {
      j.undo(801, seq);
    });
    expect(undone).toContain("swap to B taken back");
  });

  const happenings: readonly (readonly [Content, string])[] = [
    [{ type: "course-held", body: { reason: "walkers" } }, "COURSE HELD: walkers"],
    [{ type: "session-closed", body: {} }, "the session is closed"],
    [{ type: "settings-changed", body: { marginS: 1.5 } }, "worth having: 1.5 s"],
    [{ type: "port-opened", body: { port: "/dev/gates" } }, "port /dev/gates open"],
    [{ type: "note-added", body: { run: null, note: "sun" } }, "note: sun"],
    [{ type: "condition-marked", body: { note: "rain", isStep: false } }, "conditions: rain"],
  ];
  it.each(happenings)("say %j", (content, sentence) => {
    const journal = aDay({ runs: 1, isByHand: true });
    expect(
      said(journal, (j) => {
        j.write(1000, content);
      }),
    ).toContain(sentence);
  });

  it("say a passing that is in no run, and a lost port", () => {
    const journal = aDay({ runs: 1 });
    const walker = said(journal, (j) => {
      j.beam(F1, 1000);
    });
    expect(walker).toContain("08:16:40 passing at finish, not in a run: no start to it");
    journal.write(1001, { type: "port-opened", body: { port: "/dev/gates" } });
    const lost = said(journal, (j) => {
      j.write(1002, { type: "port-lost", body: { port: "/dev/gates", reason: "cable out" } });
    });
    expect(lost).toContain("PORT CLOSED: /dev/gates: cable out");
  });

  it("say nothing when nothing happened", () => {
    const journal = aDay({ runs: 3 });
    expect(
      said(journal, (j) => {
        heard(j, 1500);
      }),
    ).toEqual([]);
  });

  it("blind, say only what to fit", () => {
    const journal = aDay({ runs: 3 });
    const sentences = said(
      journal,
      (j) => {
        j.bike(S1, 1500);
        j.bike(F1, 1631);
      },
      true,
    );
    expect(sentences.join("\n")).not.toMatch(/quicker|slower|can't tell|decided|band/u);
    expect(sentencesBetween(null, summaryOf(journal), { isBlind: true })).toHaveLength(2);
  });

  it("hold nothing that drives a terminal", () => {
    const journal = aDay({ runs: 1 });
    const evil = "\u001b[2J\u0007\u009b31m\u202ename";
    const sentences = said(journal, (j) => {
      j.write(900, { type: "note-added", body: { run: null, note: evil } });
      j.write(901, { type: "course-held", body: { reason: evil } });
      j.write(902, {
        type: "rider-added",
        body: { id: "R9", name: evil, tag: null, newTo: [], setups: null, plannedRuns: null },
      });
      j.write(903, { type: "passing-assigned", body: { passing: null, rider: "R9", run: null } });
      j.key(0, 905, "R9");
    });
    expect(sentences.length).toBeGreaterThan(1);
    for (const sentence of sentences) expect(sentence).not.toMatch(/[\p{Cc}\p{Cf}]/u);
  });
});

describe("alerts in sentences", () => {
  it("are said once, and again only after they were over", () => {
    const journal = aDay({ runs: 1 });
    const tell = createAlertTeller();
    const summary = summaryOf(heard(journal, 1000));
    expect(tell(summary, instant(1005))).toEqual([]);
    const silent = tell(summary, instant(1020));
    expect(silent).toContain(
      "START QUIET FOR 0:19 (since 08:16, heard every 2 s before): cable? battery?",
    );
    expect(tell(summary, instant(1021))).toEqual([]);
    const back = summaryOf(heard(journal, 1030));
    expect(tell(back, instant(1031))).toEqual([]);
    expect(tell(back, instant(1050))).toHaveLength(silent.length);
  });
});
