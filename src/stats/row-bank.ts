// Runs pressed into a few rows that carry the same sums, so that a fit after every run costs the
// same on run 20 as on run 20 000; called by replay.ts and the forecast.
import type { SetupId } from "../domain/session.ts";
import { columnCount, type DesignRow, designRow, type Layout } from "./design.ts";
import { entry, item } from "./entry.ts";

/** One counted run, with everything that a fit needs of it. */
export interface BankedRun extends DesignRow {
  /** Run time, s. */
  readonly timeS: number;
  /** Sector times, s; null when a split is missing or the stretch has none. */
  readonly sectorS: readonly number[] | null;
  /** 1-based numbers of sectors struck out. */
  readonly voidSectors: readonly number[];
  /** One of the first two counted runs on a set-up that was new to the rider. */
  readonly isEarlyOnNew: boolean;
}

/**
 * The runs of one set-up that are good in the same sectors. Its `rows` are the triangular factor of
 * [design | run time | sector times]: any sum of products over the runs is the same over the rows,
 * because they differ by an orthogonal transformation.
 */
export interface RunClass {
  readonly setup: SetupId;
  readonly hasSectors: boolean;
  readonly voidSectors: readonly number[];
  readonly isEarlyOnNew: boolean;
  /** Runs in it. */
  readonly count: number;
  readonly rows: readonly Float64Array[];
}

interface GrowingClass extends RunClass {
  count: number;
  /** Row i starts at column i; undefined while nothing has reached that column. */
  readonly triangle: (Float64Array | undefined)[];
  rows: Float64Array[];
}

/**
 * Runs, one after another, kept as triangular factors.
 *
 * Givens rotations are orthogonal, so nothing is squared and a residual sum of squares loses no
 * digits, which accumulated X'X would cost.
 *
 * @see Golub & Van Loan, Matrix Computations, 5.1 and 12.5 (row updating)
 */
export class RowBank {
  readonly layout: Layout;
  /** Columns of the design; the run time follows, then the sector times. */
  readonly columns: number;
  readonly sectors: number;
  readonly #classes = new Map<string, GrowingClass>();
  readonly #triangle: (Float64Array | undefined)[];
  readonly #largest: number[];

  /** @param sectors - sector times a run carries; 0 for none */
  constructor(layout: Layout, sectors: number) {
    this.layout = layout;
    this.columns = columnCount(layout);
    this.sectors = sectors;
    this.#triangle = this.#emptyTriangle();
    this.#largest = new Array<number>(1 + sectors).fill(0);
  }

  /** The classes so far; they go on changing when runs are added. */
  get classes(): readonly RunClass[] {
    return [...this.#classes.values()];
  }

  /** All runs as one triangle: what the rows of all classes together come to. */
  get rows(): readonly Float64Array[] {
    return this.#triangle.filter((r) => r !== undefined);
  }

  /**
   * Largest absolute time so far, s: the scale of rounding errors.
   *
   * @param part - 0 the whole run, 1, 2, ... the sectors
   */
  largest(part: number): number {
    return item(this.#largest, part);
  }

  /** Adds one run; O(columns^2). */
  add(run: BankedRun): void {
    const group = this.#classFor(run);
    group.count += 1;
    const values = [run.timeS, ...(run.sectorS ?? [])];
    const row = new Float64Array(this.columns + 1 + this.sectors);
    row.set(designRow(this.layout, run));
    for (let part = 0; part <= this.sectors; part += 1) {
      const value = run.voidSectors.includes(part) ? 0 : (values[part] ?? 0);
      row[this.columns + part] = value;
      this.#largest[part] = Math.max(this.largest(part), Math.abs(value));
    }
    rotateIn(this.#triangle, row.slice());
    rotateIn(group.triangle, row);
    group.rows = group.triangle.filter((r) => r !== undefined);
  }

  #emptyTriangle(): (Float64Array | undefined)[] {
    return new Array<Float64Array | undefined>(this.columns + 1 + this.sectors).fill(undefined);
  }

  #classFor(run: BankedRun): GrowingClass {
    const hasSectors = run.sectorS !== null;
    const key = [run.setup, String(hasSectors), run.voidSectors.join(), String(run.isEarlyOnNew)];
    const known = this.#classes.get(key.join("|"));
    if (known !== undefined) return known;
    const made: GrowingClass = {
      setup: run.setup,
      hasSectors,
      voidSectors: run.voidSectors,
      isEarlyOnNew: run.isEarlyOnNew,
      count: 0,
      triangle: this.#emptyTriangle(),
      rows: [],
    };
    this.#classes.set(key.join("|"), made);
    return made;
  }
}

/** Rotates `row` into the triangle; `row` is used up. */
function rotateIn(triangle: (Float64Array | undefined)[], row: Float64Array): void {
  for (let j = 0; j < row.length; j += 1) {
    const x = entry(row, j);
    if (x === 0) continue;
    const kept = triangle[j];
    if (kept === undefined) {
      triangle[j] = row;
      return;
    }
    const d = entry(kept, j);
    const length = Math.sqrt(d * d + x * x);
    const cosine = d / length;
    const sine = x / length;
    for (let c = j; c < row.length; c += 1) {
      const a = entry(kept, c);
      const b = entry(row, c);
      kept[c] = cosine * a + sine * b;
      row[c] = cosine * b - sine * a;
    }
    row[j] = 0;
  }
}
