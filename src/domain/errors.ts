// Failures that people can act on, as values and as one exception; used by every folder.

/** The outcome of something that can fail where the caller must choose what to do. */
export type Result<T, E> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly error: E };

export type UserErrorCode =
  | "bad-input" // a sheet, a CSV, a name
  | "wrong-usage" // a flag or an argument
  | "not-found"
  | "exists"
  | "not-a-session"
  | "newer-version"
  | "damaged"
  | "disk-full"
  | "in-use"
  | "no-permission"
  | "refused"; // asked for something that the session's state does not allow

/** The command cannot go on, and the user can do something about it. */
export class UserError extends Error {
  readonly code: UserErrorCode;
  /** What to do, a sentence without a full stop. */
  readonly hint: string;

  /**
   * @param code - for tests and exit codes
   * @param message - what happened, naming the thing
   * @param hint - what to do about it
   */
  constructor(code: UserErrorCode, message: string, hint: string, options?: ErrorOptions) {
    super(message, options);
    this.name = "UserError";
    this.code = code;
    this.hint = hint;
  }
}

/** Marks a place that the types say cannot be reached. */
export function assertNever(value: never): never {
  throw new TypeError(`unexpected value: ${JSON.stringify(value)}`);
}
