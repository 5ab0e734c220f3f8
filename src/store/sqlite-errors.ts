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
  if (code.startsWith("SQLITE_FULL")) {
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
  if (code.startsWith("SQLITE_READONLY") || code === "EACCES" || code === "EPERM") {
    return new UserError(
      "no-permission",
      `${file} cannot be written`,
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
  if (code.startsWith("SQLITE_CANTOPEN") || code === "ENOENT" || code === "ENOTDIR") {
    return new UserError("not-found", `${file} cannot be opened`, "check the path", cause);
  }
  // A missing folder comes as a plain TypeError without a code.
  if (error instanceof TypeError && error.message.includes("directory does not exist")) {
    return new UserError(
      "not-found",
      `the folder of ${file} does not exist`,
      "make the folder first, or name another file",
      cause,
    );
  }
  return error;
}

/** Runs `work`, saying the database's failures in words. */
export function told<T>(file: string, work: () => T): T {
  try {
    return work();
  } catch (error) {
    throw inWords(error, file);
  }
}
