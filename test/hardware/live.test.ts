// The built program at a pseudo-terminal that the real program of a box speaks on, in real time:
// nothing here is about times, only about what arrives, and that the box then forgets it.
import { type ChildProcessWithoutNullStreams, spawn } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { beforeAll, expect, test } from "vitest";
import { SessionStore } from "../../src/store/session-store.ts";
import { begin, inFolder, type Running, run, waitFor } from "../e2e/program.ts";
import { GATES_SHEET } from "../e2e/sheets.ts";
import { BOX_ELF, BOXSIM, because, buildBoxes, isSkipped } from "./tools.ts";

/** A wheel and another: blockings and holes, us. */
const PASS_US = [12_000, 60_000, 12_000, 100_000, 12_000, 60_000, 12_000];

beforeAll(buildBoxes, 120_000);

/** A box on a cable of its own. */
class LiveBox {
  readonly port: string;
  private readonly child: ChildProcessWithoutNullStreams;
  private answers = "";

  constructor(folder: string) {
    this.port = join(folder, "cable");
    const eeprom = join(folder, "eeprom");
    const options = ["--elf", BOX_ELF, "--eeprom", eeprom, "--pty", this.port];
    this.child = spawn(BOXSIM, options);
    this.child.stdout.setEncoding("utf8").on("data", (text: string) => {
      this.answers += text;
    });
  }

  async ready(): Promise<void> {
    await this.answered(() => this.answers.includes("ready"));
  }

  /** Lines of its script; "+" counts from now. */
  async tell(lines: readonly string[]): Promise<void> {
    this.answers = "";
    this.child.stdin.write(`${lines.join("\n")}\n`);
    await this.answered(() => this.answers.split("done").length > lines.length);
  }

  async ride(): Promise<void> {
    let us = 50_000;
    const lines = PASS_US.flatMap((forUs, i) => {
      const line = `+${String(us)} beam ${i % 2 === 0 ? "1" : "0"}`;
      us += forUs;
      return [line];
    });
    await this.tell([...lines, `+${String(us)} beam 0`]);
  }

  async end(): Promise<void> {
    this.child.kill("SIGTERM");
    await this.answered(() => this.child.exitCode !== null);
    expect(this.child.exitCode).toBe(0);
  }

  private async answered(look: () => boolean): Promise<void> {
    await waitFor(
      () => "the simulated box",
      () => (look() ? true : undefined),
    );
  }
}

async function says(program: Running, what: RegExp): Promise<void> {
  await waitFor(
    () => `${String(what)} in:\n${program.out()}${program.err()}`,
    () => (what.test(program.out()) ? true : undefined),
    30_000,
  );
}

async function stop(program: Running): Promise<void> {
  program.child.kill("SIGINT");
  await program.ended;
}

/** Kinds and numbers of the events in a file, as they came. */
function eventsIn(file: string): readonly string[] {
  const store = SessionStore.open(file, { readOnly: true });
  const found = store.readSince(0).flatMap((entry) => {
    if (entry.type !== "line-received" || entry.body.decoded?.["type"] !== "event") return [];
    const { kind, seq } = entry.body.decoded;
    return [`${String(kind)} ${String(seq)}`];
  });
  store.close();
  return found;
}

test.skipIf(isSkipped)(
  `a box is listened to, recorded, unplugged and plugged in, and forgets what is safe${because}`,
  async () => {
    await inFolder(async (folder) => {
      writeFileSync(join(folder, "day.toml"), GATES_SHEET);
      expect((await run(folder, "new", "day.toml", "day.swaplap")).code).toBe(0);
      const box = new LiveBox(folder);
      await box.ready();
      const first = begin(folder, ["listen", box.port]);
      await says(first, /here, role S/u);
      await box.ride();
      // Nobody acknowledges, so the box repeats its oldest event: each is said once, and the next asked for.
      await says(first, /1 beam broken[\s\S]*2 clear again/u);
      expect(first.out().match(/1 beam broken/gu)).toHaveLength(1);
      await stop(first);
      const recorder = begin(folder, ["record", "day.swaplap", "--port", box.port]);
      const file = join(folder, "day.swaplap");
      const recorded = async (count: number): Promise<void> => {
        await waitFor(
          () => `${String(count)} events among ${eventsIn(file).join(", ")}\n${recorder.err()}`,
          () => (eventsIn(file).length >= count ? true : undefined),
          30_000,
        );
      };
      await recorded(2);
      await box.ride();
      await recorded(4);
      await box.tell(["+0 unplug"]);
      await box.ride();
      await waitFor(
        () => `the lost cable in ${recorder.err()}`,
        () => (/cable/u.test(recorder.err()) ? true : undefined),
      );
      await box.tell(["+0 plug"]);
      await recorded(6);
      await stop(recorder);
      expect([...eventsIn(file)].sort()).toEqual(["B 1", "B 3", "B 5", "C 2", "C 4", "C 6"]);
      const last = begin(folder, ["listen", box.port]);
      await says(last, /holds 0 events/u);
      await stop(last);
      expect(last.out()).not.toMatch(/beam broken/u);
      expect(await run(folder, "verify", "day.swaplap")).toMatchObject({ code: 0 });
      await box.end();
    });
  },
  300_000,
);
