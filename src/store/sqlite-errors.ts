// The database's failures in the user's words. Every call into the database goes through here.
import { UserError } from "../domain/errors.ts";

/** The code of a database or system error, or null if it has none. */
export function errorCode(error: unknown): string | null {
  if (!(error instanceof Error) || !("code" in error)) return null;
  return typeof error.code === "string" ? error.code : null;
}

/**
 * Says a database error in words.
 *
 * @param error - whatever was thrown
 * @param file - the session file, as the user named it
 * @returns a UserError if the user can do something about it, else the error as it was
 */
export function inWords(error: unknown, file: string): unknown {
  if (error instanceof UserError) return error;
  const code = errorCode(error) ?? "";
  const cause = { cause: error };
  if (code.startsWith("SQLITE_NOTADB")) {
    return new UserError(
      "not-a-session",
      `${file} is not a session file`,
      "name a file made by `swaplap new`, or make one",
      cause,
    );
  }
  if (code.startsWith("SQLITE_CORRUPT")) {
    return new UserError(
      "damaged",
      `${file} is damaged`,
      "work on a copy; what can still be read is kept by `sqlite3 FILE .recover`",
      cause,
    );
  }
  // The index of the write-ahead log is the first thing that finds no room on a full disk.
  if (code.startsWith("SQLITE_FULL") || code === "SQLITE_IOERR_SHMSIZE" || code === "ENOSPC") {
    return new UserError(
      "disk-full",
      `the disk is full: nothing more can be written to ${file}`,
      "free some space; what was confirmed before is safe, and boxes keep their events",
      cause,
    );
  }
  if (code.startsWith("SQLITE_BUSY") || code.startsWith("SQLITE_LOCKED")) {
    return new UserError(
      "in-use",
      `${file} is held by another program`,
      "close the other program that has the file open for writing, then try again",
      cause,
    );
  }
  if (code === "SQLITE_READONLY_DIRECTORY" || code === "SQLITE_READONLY_CANTINIT") {
    return new UserError(
      "no-permission",
      `the folder of ${file} cannot be written, and a session file is opened with two helpers beside it`,
      "copy the file to a folder of your own",
      cause,
    );
  }
  if (code.startsWith("SQLITE_READONLY") || isForbidden(code)) {
    return new UserError(
      "no-permission",
      `${file} cannot be opened or written`,
      "check the permissions of the file and its folder",
      cause,
    );
  }
  if (code.startsWith("SQLITE_IOERR")) {
    return new UserError(
      "damaged",
      `the disk failed while ${file} was read or written`,
      "copy the file to another disk and run `swaplap verify` on the copy",
      cause,
    );
  }
  if (code === "ENOENT" || code === "ENOTDIR") {
    return new UserError(
      "not-found",
      `the folder of ${file} does not exist`,
      "make the folder first, or name another file",
      cause,
    );
  }
  return error;
}

/** A file that is there but cannot be opened is one that this user may not open. */
function isForbidden(code: string): boolean {
  const codes = ["SQLITE_PERM", "SQLITE_AUTH", "EACCES", "EPERM", "EROFS", "EISDIR"];
  return code.startsWith("SQLITE_CANTOPEN") || codes.includes(code);
}

/** Runs `work`, saying the database's failures in words. */
export function told<T>(file: string, work: () => T): T {
  try {
    return work();
  } catch (error) {
    throw inWords(error, file);
  }
}
