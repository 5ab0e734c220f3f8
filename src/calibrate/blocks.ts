// How the days are cut into blocks, each with a seed of its own, so that the answer does not depend on
// who rides which; called by ride-in-threads.ts.
import { cellsOf } from "./cell.ts";
import type { Block } from "./ride-block.ts";
import type { Trial } from "./trial.ts";

/** Days a block: every opening once either way. chosen: short, so that a stop loses little. */
const BLOCK_DAYS = 16;

/** The blocks of every cell, round by round: all cells' first, then all cells' second, ... */
export function blocksOf(trial: Trial, days: number, seed: number): readonly (readonly Block[])[] {
  const cells = cellsOf(trial);
  const rounds = Math.ceil(days / BLOCK_DAYS);
  return Array.from({ length: rounds }, (_, round) =>
    cells.map((cell, c) => ({
      cell,
      days: Math.min(BLOCK_DAYS, days - round * BLOCK_DAYS),
      seed: blockSeed(seed, round * cells.length + c),
    })),
  );
}

/**
 * A seed for each block, unlike that of its neighbours.
 *
 * @see the finaliser of MurmurHash3 by Austin Appleby, public domain (from memory)
 */
function blockSeed(seed: number, index: number): number {
  let h = (Math.imul(seed, 0x9e3779b1) + index + 1) >>> 0;
  h = Math.imul(h ^ (h >>> 16), 0x85ebca6b);
  h = Math.imul(h ^ (h >>> 13), 0xc2b2ae35);
  return (h ^ (h >>> 16)) >>> 0;
}
