// The comparison is worked out again only when something it rests on has changed, and never too late.
import { expect, test } from "vitest";
import { hostUs } from "../../src/domain/time.ts";
import type { Content } from "../../src/journal/content.ts";
import type { Entry } from "../../src/journal/entry.ts";
import { emptyFold, extendFold, type Fold, sessionOf } from "../../src/session/fold.ts";
import { type Summary, summarise } from "../../src/summary/summary.ts";
import { dayRows, inventedSheet } from "../bench/invented-day.ts";

const LAPS = 6;
const HOST = { host: "laptop-1", writer: "test", who: "test", version: 1 };

/** A day of six laps as its journal has it. */
function entries(): readonly Entry[] {
  const sheet = inventedSheet(12);
  const beganAt = hostUs(1e9);
  return dayRows({ sheet, port: "/dev/gates", beganAt, laps: LAPS, heard: LAPS }).map(
    ({ monoUs = beganAt, ...content }, i): Entry => ({
      ...{ ...content, ...HOST, seq: i + 1, monoUs, atUs: Date.UTC(2026, 4, 9) * 1000 + monoUs },
    }),
  );
}

function then(fold: Fold, content: Content): Fold {
  const monoUs = hostUs(1e9 + 1e9);
  const at = { atUs: Date.UTC(2026, 4, 9) * 1000 + monoUs, monoUs };
  return extendFold(fold, [{ ...content, ...HOST, ...at, seq: fold.lastSeq + 1 }]);
}

test("row by row it is the same as worked out afresh", () => {
  let fold = emptyFold();
  let kept: Summary | undefined;
  let reused = 0;
  for (const entry of entries()) {
    fold = extendFold(fold, [entry]);
    const session = sessionOf(fold);
    if (session.plan === null) continue; // the sheet is one transaction
    const next = summarise(session, kept);
    expect(next).toEqual(summarise(session));
    if (next.comparison === kept?.comparison) reused += 1;
    kept = next;
  }
  expect(kept?.runs.filter((run) => run.status === "ok")).toHaveLength(LAPS);
  expect(reused).toBeGreaterThan(0);
});

test("a decision about a run is seen at once, a note on it changes nothing", () => {
  const fold = extendFold(emptyFold(), entries());
  const before = summarise(sessionOf(fold));
  const run = before.runs[3]?.runId ?? "";
  const noted = then(fold, { type: "note-added", body: { run, note: "held up" } });
  expect(summarise(sessionOf(noted), before).comparison).toBe(before.comparison);
  const dry = then(fold, { type: "condition-marked", body: { note: "dry", isStep: false } });
  expect(summarise(sessionOf(dry), before).comparison).toBe(before.comparison);
  for (const content of [
    { type: "run-marked", body: { run, mark: "void", sectors: [], reason: "test" } },
    { type: "run-marked", body: { run, mark: "ok", sectors: [], reason: null } },
    { type: "run-marked", body: { run, mark: "void", sectors: [1], reason: "test" } },
    { type: "setup-corrected", body: { run, setup: "A" } },
    { type: "setup-swapped", body: { rider: "R1", setup: "B", minutes: null, checked: true } },
    { type: "settings-changed", body: { marginS: 2 } },
    { type: "condition-marked", body: { note: "rain", isStep: true } },
    { type: "gate-moved", body: { gate: 0, note: "re-aimed" } },
  ] as const satisfies readonly Content[]) {
    const session = sessionOf(then(fold, content));
    const after = summarise(session, before);
    expect(after.comparison).toEqual(summarise(session).comparison);
    expect(after.comparison).not.toBe(before.comparison);
  }
});
