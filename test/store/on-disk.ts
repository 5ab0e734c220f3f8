// Files on a real disk for the tests of store and app, and rows to put into them.
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { onTestFinished } from "vitest";
import { hostUs } from "../../src/domain/time.ts";
import type { Content } from "../../src/journal/content.ts";
import type { Draft } from "../../src/journal/entry.ts";

/** An empty folder that is gone when the test is over. */
export function emptyFolder(): string {
  const folder = mkdtempSync(join(tmpdir(), "swaplap-test-"));
  onTestFinished(() => {
    rmSync(folder, { recursive: true, force: true });
  });
  return folder;
}

/** A row with a stamp of an invented laptop; times are s since its start. */
export function draft(content: Content, atS = 1): Draft {
  const monoUs = hostUs(Math.round(atS * 1e6));
  return {
    ...content,
    atUs: 1.7e15 + monoUs,
    monoUs,
    host: "laptop-1",
    writer: "test",
    who: "test",
  };
}

export function note(text: string): Content {
  return { type: "note-added", body: { run: null, note: text } };
}
