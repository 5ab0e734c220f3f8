// What the console is told about the program around it; handed in by the cli, asked for at each tick.

export type RecorderState =
  | { readonly kind: "here" }
  | { readonly kind: "elsewhere"; readonly pid: number }
  | { readonly kind: "by-hand" }
  /** A session shown again: nothing is recorded. */
  | { readonly kind: "replay" };

export interface ConsoleStatus {
  readonly recorder: RecorderState;
  /** Things to tell the operator, one sentence each; they stay until acknowledged. */
  readonly notices: readonly string[];
  /** Warnings in the log file so far. */
  readonly warnings: number;
  readonly file: string;
  /** The laptop's own battery, `laptop 78 %, lasts to about 15:40`; null: none, or not known. */
  readonly battery: string | null;
  readonly isPractice: boolean;
  /** Hides whatever gives the standing away until the session is closed. */
  readonly isBlind: boolean;
  /** Typed beforehand for the emergency page: location, access, number, first-aider. */
  readonly emergencyText: readonly string[];
}

/** Who records, in words. */
export function recorderWords(recorder: RecorderState): string {
  switch (recorder.kind) {
    case "here":
      return "recording here";
    case "elsewhere":
      return `recording elsewhere: ${String(recorder.pid)}`;
    case "by-hand":
      return "by hand";
    case "replay":
      return "shown again, not recording";
  }
}
