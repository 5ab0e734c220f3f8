// The way of lines between the laptop and one simulated box: late, lost, doubled; used by the hill.

/** What goes wrong on the way, each as a share of lines. */
export interface Trouble {
  readonly lost: number;
  readonly doubled: number;
  readonly noise: number;
}

export interface PathOptions {
  readonly kind: "cable" | "radio";
  readonly trouble: Trouble;
  readonly random: () => number;
}

/** Bytes and when they arrive, true time, us. */
export interface Arrival {
  readonly atUs: number;
  readonly bytes: Uint8Array;
}

/** Radio: 2 ms and an exponential 6 ms, 3 % of lines about 200 ms later. Cable: well below a millisecond. */
function delayUs(kind: PathOptions["kind"], random: () => number): number {
  const exponential = -Math.log(1 - random());
  if (kind === "cable") return 300 + 100 * exponential;
  const late = random() < 0.03 ? 200_000 * (0.5 + random()) : 0;
  return 2000 + 6000 * exponential + late;
}

/** One direction. Lines keep their order, as they do through a modem. */
export class RadioPath {
  private readonly options: PathOptions;
  private lastUs = 0;

  constructor(options: PathOptions) {
    this.options = options;
  }

  /** Sends one line at a true time. @returns what arrives: nothing, the line, or it and more */
  send(bytes: Uint8Array, atUs: number): readonly Arrival[] {
    const { kind, random, trouble } = this.options;
    const arrivals: Arrival[] = [];
    if (random() < trouble.noise) arrivals.push({ atUs: this.next(atUs), bytes: this.noise() });
    if (random() < trouble.lost) return arrivals;
    arrivals.push({ atUs: this.next(atUs + Math.round(delayUs(kind, random))), bytes });
    if (random() < trouble.doubled) {
      arrivals.push({ atUs: this.next(atUs + Math.round(2 * delayUs(kind, random))), bytes });
    }
    return arrivals;
  }

  private next(atUs: number): number {
    this.lastUs = Math.max(this.lastUs, atUs);
    return this.lastUs;
  }

  private noise(): Uint8Array {
    const { random } = this.options;
    return Uint8Array.from({ length: 3 + Math.floor(random() * 30) }, () =>
      Math.floor(random() * 256),
    );
  }
}
