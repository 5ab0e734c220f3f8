// An invented day that explores the rear pressure, timed by the keys; used by the tests of app and summary.
import { logSwap } from "../../src/app/day-commands.ts";
import { beginCheck, rideValues } from "../../src/app/explore-commands.ts";
import type { Sheet } from "../../src/domain/session.ts";
import { foundValues, nextValues } from "../../src/summary/exploration.ts";
import type { Summary } from "../../src/summary/summary.ts";
import { aloneSheet } from "./a-day.ts";
import { HandDay } from "./hand-day.ts";

const A = aloneSheet.setups[0];
if (A === undefined) throw new TypeError("the sheet has a set-up");

const pressure = { key: "rear_pressure_bar", low: 1.3, high: 1.9, step: 0.05 };
const rebound = { key: "shock_rebound_clicks", low: 2, high: 14, step: 1 };

/** Present values 1.75 bar and 8 clicks; eight runs at values tried. */
export const exploreSheet: Sheet = {
  ...aloneSheet,
  settings: { ...aloneSheet.settings, plannedRuns: 8 },
  setups: [{ ...A, values: { rear_pressure_bar: 1.75, shock_rebound_clicks: 8 } }],
  explored: { settings: [pressure], checkRuns: 8 },
};

/** Both settings at once. */
export const bothSheet: Sheet = {
  ...exploreSheet,
  explored: { settings: [pressure, rebound], checkRuns: 8 },
};

/** chosen: 3 s slower at 0.3 bar from a best at 1.5 bar, against a scatter of some tenths. */
function invented(bar: number, n: number): number {
  const scatter = [0.2, -0.3, 0.1, 0.3, -0.2, -0.1, 0.2, -0.2][n % 8] ?? 0;
  return Math.round((60 + 3 * ((bar - 1.5) / 0.3) ** 2 + scatter) * 10) / 10;
}

export class ExploreDay extends HandDay {
  get summary(): Summary {
    return this.file.summary();
  }

  /** One run on what is on the bike. */
  rideOn(): void {
    const { setups, mounted, runs } = this.session;
    const on = setups.find((setup) => setup.id === mounted["R1"]);
    this.ride(invented(Number(on?.values["rear_pressure_bar"]), runs.length));
  }

  /** So many runs at the values suggested. */
  rideSuggested(runs: number): void {
    for (let n = 0; n < runs; n += 1) {
      const values = nextValues(this.summary);
      if (values === null) throw new TypeError("no values are suggested");
      if (this.summary.comparison.next.setup !== this.session.mounted["R1"]) {
        this.do((s) => rideValues(s, "R1", values));
      }
      this.rideOn();
    }
  }

  /** The closing check of the best value begins. */
  begin(): void {
    const found = foundValues(this.summary);
    if (found === null) throw new TypeError("nothing was found");
    this.do((s) => beginCheck(s, found));
  }

  /** So many runs of the check, as suggested. */
  rideCheck(runs: number): void {
    for (let n = 0; n < runs; n += 1) {
      const { setup } = this.summary.comparison.next;
      if (setup === null) throw new TypeError("no set-up is suggested");
      if (setup !== this.session.mounted["R1"]) this.do((s) => logSwap(s, "R1", setup, true));
      this.rideOn();
    }
  }
}
