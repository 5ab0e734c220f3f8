// The practice hill: three timing boxes with clocks of their own and one rider, as a source of real
// gateline bytes; made by the practice command.
import { seededRandom } from "../domain/seeded.ts";
import { type HostUs, hostUs } from "../domain/time.ts";
import { type Arrival, RadioPath, type Trouble } from "./radio-path.ts";
import { SimulatedBox } from "./simulated-box.ts";
import { type RiderTruth, rideTimes } from "./simulated-rider.ts";
import type { Source, SourceEvents } from "./source.ts";

/** The time that the hill lives in; nothing here moves it. */
export interface HillTime {
  now(): HostUs;
  /** Runs a job that many milliseconds (fractions count) from now, once; gives a way to call it off. */
  after(ms: number, run: () => void): () => void;
}

export interface HillOptions {
  readonly time: HillTime;
  readonly seed: number;
  /** What each set-up adds to a run, in run-to-run spreads; negative is quicker. */
  readonly effectSpreads: Readonly<Record<string, number>>;
  readonly rider?: RiderTruth;
  /** Shares of lines lost, doubled and preceded by noise on the radio; none with zeros. */
  readonly trouble?: Trouble;
}

/** The truth about one ride, to hold the timing against. */
export interface Ride {
  readonly setup: string;
  readonly startUs: HostUs;
  /** Start to split, split to finish, s, as the beams were really broken. */
  readonly sectorS: readonly [number, number];
}

const RIDER: RiderTruth = { stretchS: 60, spreadS: 0.7 };
const TROUBLE: Trouble = { lost: 0.02, doubled: 0.04, noise: 0.005 };
const NONE: Trouble = { lost: 0, doubled: 0, noise: 0 };
const BIKE_M = 1.75;

/** Where the boxes stand: start and split on the radio, the finish on the cable. */
export const hillGates = [
  { box: "S1", role: "start" },
  { box: "P1", role: "split" },
  { box: "F1", role: "finish" },
] as const;

const BOXES = [
  { id: "S1", role: "S", boot: 0x12, skewPpm: 38, onS: 1240, kind: "radio", speedMps: 3.5 },
  { id: "P1", role: "P1", boot: 0x05, skewPpm: -17, onS: 1010, kind: "radio", speedMps: 8 },
  { id: "F1", role: "F", boot: 0x07, skewPpm: 9, onS: 655, kind: "cable", speedMps: 9 },
] as const;

interface Post {
  readonly box: SimulatedBox;
  readonly speedMps: number;
  readonly up: RadioPath;
  readonly down: RadioPath;
}

interface Delivery extends Arrival {
  /** Null: to the laptop. */
  readonly to: Post | null;
}

/** Way back up and swaps take no time here: the next rider leaves when told to. */
export class SimulatedHill implements Source {
  readonly name = "practice hill";
  /** Every ride so far, oldest first. */
  readonly rides: Ride[] = [];
  private readonly time: HillTime;
  private readonly effects: Readonly<Record<string, number>>;
  private readonly truth: RiderTruth;
  private readonly random: () => number;
  private readonly posts: readonly Post[];
  private deliveries: Delivery[] = [];
  private on: SourceEvents | undefined;
  private mounted: string | undefined;
  private finishUs = Number.NEGATIVE_INFINITY;
  private callOff: (() => void) | undefined;

  constructor({ time, seed, effectSpreads, rider = RIDER, trouble = TROUBLE }: HillOptions) {
    this.time = time;
    this.effects = effectSpreads;
    this.truth = rider;
    this.random = seededRandom(seed);
    // The ways have their own numbers, so that what is sent on them does not change the rides.
    const onWay = seededRandom(seed ^ 0x5eed);
    this.posts = BOXES.map(({ id, role, boot, skewPpm, onS, kind, speedMps }, i) => {
      const options = { kind, random: onWay, trouble: kind === "radio" ? trouble : NONE } as const;
      const onAtUs = Math.round(time.now()) - onS * 1_000_000;
      const box = new SimulatedBox({
        id,
        role,
        boot,
        skewPpm,
        onAtUs,
        seed: seed + i + 1,
        ...(kind === "radio" ? { heartbeatUs: 5_000_000, quietUs: 50_000 } : {}),
      });
      // What it said before anybody listened is gone.
      box.advance(Math.round(time.now()));
      return { box, speedMps, up: new RadioPath(options), down: new RadioPath(options) };
    });
  }

  open(on: SourceEvents): void {
    this.on = on;
    this.callOff = this.time.after(0, () => {
      on.opened();
      this.wake();
    });
  }

  write(bytes: Uint8Array): void {
    const nowUs = Math.round(this.time.now());
    for (const post of this.posts) this.deliver(post, post.down.send(bytes, nowUs));
    this.sleep();
  }

  close(): Promise<void> {
    this.on = undefined;
    this.callOff?.();
    return Promise.resolve();
  }

  /** What is on the bike from now on. @throws {RangeError} if the hill knows no such set-up */
  setMounted(setup: string): void {
    if (this.effects[setup] === undefined) {
      throw new RangeError(`the hill knows no set-up ${setup}`);
    }
    this.mounted = setup;
  }

  /** True from the moment a rider is sent until the finish is crossed. */
  get isRiderOnCourse(): boolean {
    return this.time.now() < this.finishUs;
  }

  /**
   * The rider rolls off and crosses the start a few seconds from now.
   *
   * @throws {RangeError} if one is on course, or nothing is mounted
   */
  sendRider(): void {
    if (this.isRiderOnCourse) throw new RangeError("a rider is on course");
    if (this.mounted === undefined) throw new RangeError("no set-up is mounted");
    const effectS = (this.effects[this.mounted] ?? 0) * this.truth.spreadS;
    const sectors = rideTimes(this.truth, this.rides.length + 1, effectS, this.random);
    const startUs = Math.round(this.time.now() + 2e6 + this.random() * 2e6);
    let atUs = startUs;
    const passings = [startUs, ...sectors.map((s) => (atUs += Math.round(s * 1e6)))];
    this.posts.forEach(({ box, speedMps }, i) => {
      const durationUs = Math.round((BIKE_M / speedMps) * 1e6 * (0.9 + 0.2 * this.random()));
      const pulses = 8 + Math.floor(this.random() * 9);
      box.trip(passings[i] ?? atUs, { durationUs, pulses });
    });
    this.finishUs = atUs;
    const [first, second] = sectors;
    this.rides.push({ setup: this.mounted, startUs: hostUs(startUs), sectorS: [first, second] });
    this.sleep();
  }

  /** A box is switched off and on: its clock starts at zero, what it held is lost. */
  resetBox(id: string): void {
    const box = this.posts.find((post) => post.box.id === id)?.box;
    box?.advance(Math.round(this.time.now()));
    box?.reset();
    this.sleep();
  }

  private deliver(to: Post | null, arrivals: readonly Arrival[]): void {
    for (const arrival of arrivals) this.deliveries.push({ ...arrival, to });
  }

  /** Everything that is due, in order; then sleeps until the next thing is. */
  private wake(): void {
    const nowUs = Math.round(this.time.now());
    this.letBoxesTalk(nowUs);
    const due = this.deliveries.filter((d) => d.atUs <= nowUs).sort((a, b) => a.atUs - b.atUs);
    this.deliveries = this.deliveries.filter((d) => d.atUs > nowUs);
    for (const { to, bytes } of due) {
      if (to === null) this.on?.bytes(bytes, hostUs(nowUs));
      else this.say(to, to.box.receive(bytes, nowUs));
    }
    this.sleep();
  }

  private letBoxesTalk(nowUs: number): void {
    for (const post of this.posts) this.say(post, post.box.advance(nowUs));
  }

  private say(post: Post, lines: readonly { readonly atUs: number; readonly bytes: Uint8Array }[]) {
    for (const { atUs, bytes } of lines) this.deliver(null, post.up.send(bytes, atUs));
  }

  private sleep(): void {
    this.callOff?.();
    if (this.on === undefined) return;
    const nextUs = Math.min(
      ...this.posts.map(({ box }) => box.nextDueUs()),
      ...this.deliveries.map((d) => d.atUs),
    );
    const waitMs = Math.max(0, Math.ceil(nextUs) - this.time.now()) / 1000;
    this.callOff = this.time.after(waitMs, () => {
      this.wake();
    });
  }
}
