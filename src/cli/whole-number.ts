// Reads a flag's whole number, for commander.
import { InvalidArgumentError } from "commander";

/** @throws {InvalidArgumentError} if it is not a whole number from 0 */
export function wholeNumber(text: string): number {
  if (!/^\d{1,7}$/.test(text))
    throw new InvalidArgumentError("give a whole number, for example 8.");
  return Number(text);
}
