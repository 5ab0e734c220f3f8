// Results on standard output, messages on standard error; text from outside loses its control characters.
import { safeText } from "../tui/present/safe-text.ts";

/** One line of a result. */
export function printLine(text: string): void {
  process.stdout.write(`${safeText(text)}\n`);
}

/** One JSON document and nothing else. */
export function printJson(value: unknown): void {
  process.stdout.write(`${JSON.stringify(value, null, 2)}\n`);
}

/** One line of a message to the user. */
export function tell(text: string): void {
  process.stderr.write(`${safeText(text)}\n`);
}
