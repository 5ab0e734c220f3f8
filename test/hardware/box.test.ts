// The real program of a timing box on the simulated board, against what truly happened at its pins.
import { join } from "node:path";
import { beforeAll, describe, expect, it } from "vitest";
import { seededRandom } from "../../src/domain/seeded.ts";
import type { EventMessage } from "../../src/protocol/message.ts";
import { emptyFolder } from "../store/on-disk.ts";
import { Bench } from "./bench.ts";
import { BLOCKINGS, blink, ride, type TruePass } from "./bikes.ts";
import { because, buildBoxes, isSkipped, WRAP_ELF } from "./tools.ts";

const seed = 20260510;
/** Timer 1 of the box: 16 bits of 0.5 us. */
const COUNTER_US = 32_768;
const HOST_BIT_US = 1e6 / 115_200;
/** A byte that means nothing. */
const CARRIAGE_RETURN = Uint8Array.of(0x0d);

beforeAll(buildBoxes, 120_000);

/** What the box's clock said over the true time, us, and its middle: when the box began to count. */
function errorsOf(stamps: readonly number[], truths: readonly number[]): readonly number[] {
  expect(stamps).toHaveLength(truths.length);
  const ahead = stamps.map((at, i) => at - (truths[i] ?? Number.NaN));
  const middle = (Math.min(...ahead) + Math.max(...ahead)) / 2;
  return ahead.map((us) => us - middle);
}

function spreadOf(errors: readonly number[]): { sd: number; min: number; max: number; n: number } {
  const mean = errors.reduce((sum, e) => sum + e, 0) / errors.length;
  const sd = Math.sqrt(errors.reduce((sum, e) => sum + (e - mean) ** 2, 0) / (errors.length - 1));
  return { sd, min: Math.min(...errors), max: Math.max(...errors), n: errors.length };
}

const stampsOf = (events: readonly EventMessage[]) => events.map(({ atUs }) => atUs);
const seqsOf = (events: readonly EventMessage[]) => events.map(({ seq }) => seq);
const upTo = (count: number) => Array.from({ length: count }, (_, i) => i + 1);

/** A short passing. */
function flick(bench: Bench, atUs: number, forUs = 3000): void {
  blink(bench.box, atUs, forUs);
}

async function switchOn(bench: Bench): Promise<void> {
  bench.plug();
  await bench.pass(1);
  expect(bench.boots.length).toBeGreaterThan(0);
}

/** How long the beam must be clear until the next passing. */
async function setRearm(bench: Bench, us: number): Promise<void> {
  const said = bench.boots.length;
  bench.say({ type: "set", box: bench.boots[0]?.box ?? "", name: "rearm_us", value: us });
  await bench.pass(0.5);
  expect(bench.boots.length).toBe(said + 1);
}

describe.skipIf(isSkipped)(`a timing box${because}`, { timeout: 300_000 }, () => {
  it(`stamps bikes to a microsecond, once each, and no glitch (seed ${String(seed)})`, async ({
    annotate,
  }) => {
    const random = seededRandom(seed);
    const bench = new Bench();
    await switchOn(bench);
    // Longer than the hole in the slowest bike; the simulator takes its time over quiet.
    await setRearm(bench, 400_000);
    const passes: TruePass[] = [];
    let glitches = 0;
    for (let i = 0; i < 120; i += 1) {
      if (i % 3 === 1) {
        blink(bench.box, bench.nowUs + 2000 + random() * 1e4, 20 + random() * 1970);
        glitches += 1;
      }
      const pass = ride(
        bench.box,
        bench.nowUs + 2e4 + random() * 1e5,
        1.5 * (16 / 1.5) ** random(),
      );
      passes.push(pass);
      await bench.pass((pass.lastUs - bench.nowUs) / 1e6 + 0.41);
    }
    await bench.pass(2.5);
    const [broken, clear] = [bench.of("B"), bench.of("C")];
    expect(bench.events).toHaveLength(2 * passes.length);
    expect(seqsOf(bench.events)).toEqual(upTo(2 * passes.length));
    expect(clear.map(({ aux }) => aux)).toEqual(passes.map(() => BLOCKINGS));
    const errors = errorsOf(
      [...stampsOf(broken), ...stampsOf(clear)],
      [...passes.map(({ firstUs }) => firstUs), ...passes.map(({ lastUs }) => lastUs)],
    );
    const stamps = spreadOf(errors);
    // The clock's questions were answered meanwhile, with the box's own times of both ends.
    const first = (broken[0]?.atUs ?? 0) - (passes[0]?.firstUs ?? 0) - (errors[0] ?? 0);
    const heard = spreadOf(bench.exchanges.map((e) => e.t2Us - e.heardUs - first));
    const said = spreadOf(bench.exchanges.map((e) => e.t3Us - e.saidUs - first));
    const { glitches: counted, badInput, overwritten } = bench.heartbeats.at(-1) ?? {};
    await annotate(JSON.stringify({ stamps, heard, said, counted, livedS: bench.nowUs / 1e6 }));
    expect(Math.max(...errors.map(Math.abs))).toBeLessThanOrEqual(1);
    expect(counted).toBe(glitches);
    expect([badInput, overwritten, bench.faults.length]).toEqual([0, 0, 0]);
    expect(bench.exchanges.length).toBeGreaterThan(60);
    // An interrupt may wait for another: a thousandth of what the radio does to a question.
    expect([heard.min >= 0, heard.max < 20]).toEqual([true, true]);
    expect([said.min > -2, said.max < 2]).toEqual([true, true]);
  });

  it("stamps edges about the overflow of its counter", async ({ annotate }) => {
    const bench = new Bench();
    await switchOn(bench);
    await setRearm(bench, 50_000);
    // Where the counter overflows, in true time: the box's clock is a multiple of 32.768 ms then.
    flick(bench, bench.nowUs + 1000);
    const flickUs = bench.nowUs + 1000;
    await bench.pass(0.1);
    const aheadUs = (bench.of("B")[0]?.atUs ?? 0) - flickUs;
    const truths: number[] = [flickUs];
    const ends: number[] = [flickUs + 3000];
    for (let i = 0; i < 64; i += 1) {
      const overflow =
        Math.ceil((bench.nowUs + aheadUs + 5000) / COUNTER_US) * COUNTER_US - aheadUs;
      // Blocked over a whole round of the counter, so that both edges are about an overflow.
      const atUs = overflow + (i % 16) / 4 - 1;
      flick(bench, atUs, COUNTER_US);
      // A byte's interrupt is at work then, so that edge and overflow both wait for it.
      for (const round of [0, COUNTER_US]) {
        bench.box.send(CARRIAGE_RETURN, overflow + round - 2 * (i >> 4) - 9.5 * HOST_BIT_US);
      }
      truths.push(atUs);
      ends.push(atUs + COUNTER_US);
      await bench.pass((atUs - bench.nowUs) / 1e6 + 0.085);
    }
    await bench.pass(0.1);
    const errors = errorsOf(
      [...stampsOf(bench.of("B")), ...stampsOf(bench.of("C"))],
      [...truths, ...ends],
    );
    await annotate(JSON.stringify({ ...spreadOf(errors), livedS: bench.nowUs / 1e6 }));
    expect(Math.max(...errors.map(Math.abs))).toBeLessThanOrEqual(1);
  });

  it("counts on past 2^32 us", async () => {
    const bench = new Bench({ elf: WRAP_ELF });
    bench.plug();
    await bench.pass(0.06);
    bench.say({ type: "set", box: "S1", name: "rearm_us", value: 300_000 });
    const passes = [0.1, 0.93, 1.6].map((s) => ride(bench.box, s * 1e6, 10));
    await bench.pass(3);
    const stamps = [...stampsOf(bench.of("B")), ...stampsOf(bench.of("C"))];
    const truths = [...passes.map((p) => p.firstUs), ...passes.map((p) => p.lastUs)];
    const errors = errorsOf(stamps, truths);
    expect(Math.max(...errors.map(Math.abs))).toBeLessThanOrEqual(1);
    expect(stamps.map((at) => at > 2 ** 32)).toEqual([false, false, true, false, true, true]);
    expect(bench.exchanges.some(({ t2Us, t3Us }) => t2Us < t3Us && t3Us > 2 ** 32)).toBe(true);
  });

  it("loses none of 240 events a second", async ({ annotate }) => {
    const bench = new Bench();
    await switchOn(bench);
    // As fast as a transponder reader can speak: four bytes a record at 9600 baud.
    const tags = Array.from({ length: 1200 }, (_, i) => i.toString(36).slice(-2).padStart(2, "0"));
    const records = tags.map((tag) => `T${tag.toUpperCase()}\n`).join("");
    bench.box.reader(bench.nowUs + 1000, records);
    await bench.pass(5);
    const atOnce = bench.events.length;
    await bench.pass(2.5);
    const { duplicates } = bench;
    await annotate(JSON.stringify({ atOnce, duplicates, livedS: bench.nowUs / 1e6 }));
    expect(seqsOf(bench.events)).toEqual(upTo(tags.length));
    expect(bench.events.map(({ tag }) => `T${tag ?? ""}\n`).join("")).toBe(records);
    const { oldestSeq, nextSeq, overwritten } = bench.heartbeats.at(-1) ?? {};
    expect([oldestSeq, nextSeq, overwritten]).toEqual([tags.length + 1, tags.length + 1, 0]);
    expect([bench.gone, bench.faults]).toEqual([[], []]);
  });

  it(`keeps what passes while the cable is out (seed ${String(seed)})`, async ({ annotate }) => {
    const random = seededRandom(seed);
    const bench = new Bench();
    await switchOn(bench);
    for (let i = 0; i < 12; i += 1) {
      // Out and in at any moment of a bike's way, and of a line's.
      if (i === 2 || i === 7) bench.pull();
      const { lastUs } = ride(bench.box, bench.nowUs + 1e4 + random() * 1e4, 3 + 9 * random());
      if (i === 5 || i === 9) {
        await bench.pass(0.1 * random());
        bench.plug();
      }
      await bench.pass((lastUs - bench.nowUs) / 1e6 + 0.81);
    }
    await bench.pass(10);
    await annotate(JSON.stringify({ duplicates: bench.duplicates, livedS: bench.nowUs / 1e6 }));
    expect(seqsOf(bench.events).toSorted((a, b) => a - b)).toEqual(upTo(24));
    expect([bench.of("B").length, bench.of("C").length]).toEqual([12, 12]);
    const { oldestSeq, nextSeq, overwritten } = bench.heartbeats.at(-1) ?? {};
    expect([oldestSeq, nextSeq, overwritten]).toEqual([25, 25, 0]);
  });

  it(`takes no noise for an event, nor for an order (seed ${String(seed)})`, async () => {
    const random = seededRandom(seed);
    const bench = new Bench();
    await switchOn(bench);
    const noise = (length: number) => Uint8Array.from({ length }, () => Math.floor(random() * 256));
    for (let i = 0; i < 4; i += 1) {
      bench.raw(noise(400));
      bench.noise(noise(400));
      const { lastUs } = ride(bench.box, bench.nowUs + 1e4, 6);
      await bench.pass((lastUs - bench.nowUs) / 1e6 + 0.9);
    }
    await bench.pass(9); // an acknowledgement lost in the noise: the box says it again
    expect(seqsOf(bench.events).toSorted((a, b) => a - b)).toEqual(upTo(8));
    expect(bench.events.map(({ kind, aux }) => [kind, aux])).toEqual(
      Array(4)
        .fill([
          ["B", 0],
          ["C", BLOCKINGS],
        ])
        .flat(),
    );
    expect(bench.heartbeats.at(-1)?.badInput).toBeGreaterThan(0);
    expect(new Set(bench.boots.map(({ boot }) => boot)).size).toBe(1);
  });

  it("counts its boots over a reset and over being switched off", async () => {
    const eeprom = join(emptyFolder(), "eeprom");
    const bench = new Bench({ eeprom });
    await switchOn(bench);
    const first = ride(bench.box, bench.nowUs + 1e4, 6);
    await bench.pass((first.lastUs - bench.nowUs) / 1e6 + 0.9);
    bench.box.reset(bench.nowUs + 500);
    await bench.pass(1);
    const second = ride(bench.box, bench.nowUs + 1e4, 6);
    await bench.pass((second.lastUs - bench.nowUs) / 1e6 + 0.9);
    const boot = bench.boots[0]?.boot ?? Number.NaN;
    expect(bench.events.map((event) => [event.boot, event.seq, event.kind])).toEqual([
      [boot, 1, "B"],
      [boot, 2, "C"],
      [boot + 1, 1, "B"],
      [boot + 1, 2, "C"],
    ]);
    await bench.box.end();
    const again = new Bench({ eeprom });
    await switchOn(again);
    expect(again.boots[0]?.boot).toBe(boot + 2);
  });

  it("says what it had to overwrite", async () => {
    const bench = new Bench();
    await switchOn(bench);
    await setRearm(bench, 50_000);
    bench.pull();
    const passes = 40;
    for (let i = 0; i < passes; i += 1) flick(bench, bench.nowUs + 1000 + i * 60_000);
    await bench.pass(4);
    bench.plug();
    await bench.pass(12);
    const kept = seqsOf(bench.events).toSorted((a, b) => a - b);
    const lost = 2 * passes - kept.length;
    // At least 64 are kept, the newest.
    expect(lost).toBeGreaterThan(0);
    expect(kept).toEqual(upTo(2 * passes).slice(lost));
    expect(kept.length).toBeGreaterThanOrEqual(64);
    expect(bench.gone.map(({ fromSeq, toSeq }) => [fromSeq, toSeq])).toEqual([[1, lost]]);
    const { oldestSeq, nextSeq, overwritten } = bench.heartbeats.at(-1) ?? {};
    expect([oldestSeq, nextSeq, overwritten]).toEqual([2 * passes + 1, 2 * passes + 1, lost]);
  });

  it("stamps the button and the transponder's reader", async ({ annotate }) => {
    const bench = new Bench();
    await switchOn(bench);
    flick(bench, bench.nowUs + 1000);
    const aheadTruthUs = bench.nowUs + 1000;
    const pressUs = bench.nowUs + 200_000;
    bench.box.press(pressUs, 80_000);
    const readUs = bench.box.reader(bench.nowUs + 500_000, "TA1B2C3D4\n");
    bench.box.reader(bench.nowUs + 700_000, "T A1\n"); // no tag
    await bench.pass(2);
    const aheadUs = (bench.of("B")[0]?.atUs ?? 0) - aheadTruthUs;
    const [press, ...presses] = bench.of("M");
    const [tag, ...tags] = bench.of("T");
    const lateUs = [(press?.atUs ?? 0) - aheadUs - pressUs, (tag?.atUs ?? 0) - aheadUs - readUs];
    await annotate(JSON.stringify({ lateUs }));
    expect([presses, tags, tag?.tag]).toEqual([[], [], "A1B2C3D4"]);
    // A person's thumb and a reader's radio are far worse than this.
    expect(lateUs.map((us) => Math.abs(us) < 5000)).toEqual([true, true]);
  });

  it("says that its beam is blocked, and that it is back", async () => {
    const bench = new Bench();
    await switchOn(bench);
    const atUs = bench.nowUs + 1000;
    bench.box.beam(atUs, true);
    bench.box.beam(atUs + 11e6, false);
    await bench.pass(13);
    const [broken, down] = bench.events;
    expect(bench.events.map(({ kind }) => kind)).toEqual(["B", "X", "O"]);
    expect(down?.atUs).toBe(broken?.atUs);
    expect((bench.events[2]?.atUs ?? 0) - (broken?.atUs ?? 0)).toBeCloseTo(11e6, -1);
    // A torn cable, or a box that is switched on behind somebody's back: no passing.
    bench.box.beam(bench.nowUs + 100, true);
    bench.box.reset(bench.nowUs + 200);
    await bench.pass(1);
    expect(bench.events.slice(3).map(({ kind }) => kind)).toEqual(["X"]);
  });
});
