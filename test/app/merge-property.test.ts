// Whatever is in the journals of two days, the merged session has each day's own runs.
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { type MergedSessions, mergeSessions } from "../../src/app/merge-sessions.ts";
import { hostUs } from "../../src/domain/time.ts";
import type { Entry } from "../../src/journal/entry.ts";
import { emptyFold, extendFold, sessionOf } from "../../src/session/fold.ts";
import type { Session } from "../../src/session/session.ts";
import { compareRiders } from "../../src/stats/compare.ts";
import { summarise } from "../../src/summary/summary.ts";
import { handGates, JournalWriter, threeGates } from "../session/a-journal.ts";
import { journal, steps } from "../session/any-journal.ts";
import { madeSession } from "../stats/made-session.ts";

const seeded = { seed: 20260510, numRuns: 120 };
const stamp = { atUs: 9e15, monoUs: hostUs(7), host: "laptop-9", writer: "merge-1", who: "me" };
const DAY_US = 86_400e6;

const folded = (entries: readonly Entry[]): Session => sessionOf(extendFold(emptyFold(), entries));

function mergedSession({ entries }: MergedSessions): Session {
  return folded(entries.map((entry, i) => ({ ...entry, seq: i + 1, version: 1 })));
}

/** Nobody is out at the end: who still was did not finish. */
function ended(j: JournalWriter): JournalWriter {
  for (;;) {
    const out = folded(j.entries).runs.find((run) => run.status === "on-course");
    if (out === undefined) return j;
    j.mark(9000, out.runId, "dnf");
  }
}

/** A day of anything, on the same run of the laptop's clock, its wall clock set anew each day. */
const days = fc.tuple(steps, steps).map((both) =>
  both.map((of, day) => {
    const rest = of.filter((step) => typeof step.do === "string" || !isMark(step.do));
    const ridden = [{ afterS: 5, do: "S1" }, { afterS: 100, do: "F1" }, ...rest] as const;
    const j = new JournalWriter();
    j.anchorUs += day * (DAY_US + 3e6);
    return ended(journal(ridden, threeGates, j)).entries;
  }),
);

function isMark(content: { readonly type: string }): boolean {
  return content.type === "session-merged";
}

/** Without what another seq changes. */
const unnamed = <T extends object>(run: T) => ({ ...run, runId: null });

describe("a merged session", () => {
  it("has the runs, passings and notes that each day has by itself", () => {
    let merged = 0;
    fc.assert(
      fc.property(days, (of) => {
        const own = of.map(folded);
        if (own.some(({ runs }) => runs.length === 0)) return;
        const files = of.map((entries, i) => ({ file: `${String(i)}.swaplap`, entries }));
        const all = mergedSession(mergeSessions(files.toReversed(), stamp));
        merged += 1;
        own.forEach((session, day) => {
          const shift = day === 0 ? 0 : (of[0]?.length ?? 0) + 1;
          const runs = all.runs.filter((run) => run.day === day);
          expect(runs.map(unnamed)).toEqual(session.runs.map((run) => unnamed({ ...run, day })));
          expect(runs.map((run) => run.runId)).toEqual(
            session.runs.map(({ runId }) => {
              const [seq, row] = runId.split(".");
              return [String(Number(seq) + shift), row]
                .filter((part) => part !== undefined)
                .join(".");
            }),
          );
          const isOwn = (entrySeq: number): boolean =>
            day === 0 ? entrySeq <= (of[0]?.length ?? 0) : entrySeq > shift;
          const bare = ({ passings }: Session, by: number) =>
            passings.map(({ passingId, entrySeq, runId, ...rest }) => ({
              ...rest,
              entrySeq: entrySeq + by,
              isNamed: runId !== null,
              id: passingId.replace(/^hand:.*/, "").replace(/@2$/, ""),
            }));
          expect(bare(all, 0).filter((p) => isOwn(p.entrySeq))).toEqual(bare(session, shift));
          expect(all.swaps.filter((s) => isOwn(s.entrySeq))).toEqual(
            session.swaps.map((swap) => ({ ...swap, entrySeq: swap.entrySeq + shift })),
          );
        });
        expect(new Set(all.passings.map((p) => p.passingId)).size).toBe(all.passings.length);
        expect(all.mounted).toEqual(own[1]?.mounted);
        expect(all.isClosed).toBe(own[1]?.isClosed);
        expect(all.undo?.seq).toBe(undoOf(own, of));
      }),
      seeded,
    );
    expect(merged).toBeGreaterThan(90);
  });

  it("is compared as the same runs are that were made with their days", () => {
    fc.assert(
      fc.property(
        fc.array(ridden(), { minLength: 2, maxLength: 3 }),
        fc.constantFrom(1, 3),
        (dayRuns, declared) => {
          const sheet = { days: declared, plannedRuns: 24 };
          const files = dayRuns.map((runs, day) => {
            const j = new JournalWriter();
            j.anchorUs += day * DAY_US;
            j.made(handGates, undefined, sheet);
            runs.forEach(({ setup, timeS, status }, i) => {
              const at = 100 + 600 * i;
              const swap = { rider: "R1", setup, minutes: null, checked: true };
              j.write(at - 10, { type: "setup-swapped", body: swap });
              const seq = j.key(0, at);
              j.key(2, at + timeS);
              if (status !== "ok") j.mark(at + 300, seq, status);
            });
            return { file: `${String(day)}.swaplap`, entries: j.entries };
          });
          const session = mergedSession(mergeSessions(files, stamp));
          const made = madeSession({
            runs: dayRuns.flatMap((runs, day) => runs.map((run) => ({ ...run, day }))),
            settings:
              declared === 1
                ? { bands: "open", plannedRuns: null, spreads: "each", marginS: 0.8 }
                : { ...sheet, spreads: "each", marginS: 0.8 },
          });
          const compared = summarise(session).comparison.riders[0];
          const [expected] = compareRiders(made);
          expect(compared?.counted_runs).toBe(expected?.counted_runs);
          expect(compared?.parts[0]?.pairs).toEqual(expected?.parts[0]?.pairs);
          expect(compared?.drift_s_per_run).toBe(expected?.drift_s_per_run);
        },
      ),
      { ...seeded, numRuns: 60 },
    );
  });
});

/** Up to ten runs of a day, their times in whole milliseconds, as keys have them. */
function ridden() {
  return fc.array(
    fc.record({
      setup: fc.constantFrom("A", "B"),
      timeS: fc.integer({ min: 118_000, max: 123_000 }).map((ms) => ms / 1000),
      status: fc.constantFrom("ok" as const, "ok" as const, "ok" as const, "void" as const),
    }),
    { minLength: 1, maxLength: 10 },
  );
}

/** The newest day's newest decision, where it has one. */
function undoOf(own: readonly Session[], of: readonly (readonly Entry[])[]): number | undefined {
  const second = own[1]?.undo?.seq;
  return second === undefined ? own[0]?.undo?.seq : second + (of[0]?.length ?? 0) + 1;
}
