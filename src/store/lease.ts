// One recorder a file: a lease that is renewed each second and stale after five, or as soon as the
// process that had it is gone. Kept outside the journal; used by the store.
import type Database from "better-sqlite3";
import { errorCode } from "./sqlite-errors.ts";

/** A lease that was not renewed for this long belongs to a process that is gone. */
const STALE_US = 5_000_000;

export interface LeaseHolder {
  readonly host: string;
  readonly pid: number;
}

interface LeaseRow {
  readonly host: string;
  readonly pid: number;
  readonly renewed_at_us: number;
}

const NAME = "recorder";

/** Who records into this file now, or null. */
export function leaseHolder(db: Database.Database, atUs: number): LeaseHolder | null {
  const row = db
    .prepare<[string], LeaseRow>("SELECT host, pid, renewed_at_us FROM lease WHERE name = ?")
    .get(NAME);
  // A lease renewed in the future was written before the clock was set back: it ends like any other.
  if (row === undefined || Math.abs(atUs - row.renewed_at_us) > STALE_US) return null;
  return { host: row.host, pid: row.pid };
}

/** Killed a moment ago on this very laptop: nobody has to wait until its lease is stale. */
function isGone(holder: LeaseHolder, mine: LeaseHolder): boolean {
  if (holder.host !== mine.host) return false;
  try {
    process.kill(holder.pid, 0);
    return false;
  } catch (error) {
    if (errorCode(error) === "ESRCH") return true;
    if (errorCode(error) === "EPERM") return false; // somebody else's process: it lives
    throw error;
  }
}

/**
 * Takes or renews the lease.
 *
 * @returns null if it is ours now, else who has it; on disk either way before this returns
 */
export function takeLease(
  db: Database.Database,
  mine: LeaseHolder,
  atUs: number,
): LeaseHolder | null {
  return db
    .transaction(() => {
      const holder = leaseHolder(db, atUs);
      const isMine = holder?.host === mine.host && holder.pid === mine.pid;
      if (holder !== null && !isMine && !isGone(holder, mine)) return holder;
      db.prepare("INSERT OR REPLACE INTO lease VALUES (?, ?, ?, ?)").run(
        NAME,
        mine.host,
        mine.pid,
        Math.round(atUs),
      );
      return null;
    })
    .immediate();
}

/** Gives the lease back, if it is ours. */
export function releaseLease(db: Database.Database, mine: LeaseHolder): void {
  db.prepare("DELETE FROM lease WHERE name = ? AND host = ? AND pid = ?").run(
    NAME,
    mine.host,
    mine.pid,
  );
}
