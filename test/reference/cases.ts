// Reads the reference cases beside this file and compares by their own tolerances.
import { readFileSync } from "node:fs";
import { expect } from "vitest";

/** A case of statistics.json or bands.json. */
export interface NamedCase<I, E> {
  readonly name: string;
  readonly inputs: I;
  readonly expected: E;
  readonly tolerance: { readonly kind: string; readonly value: number };
  readonly source: string;
}

export function readData(file: string): unknown {
  return JSON.parse(readFileSync(new URL(`data/${file}`, import.meta.url), "utf8"));
}

/** The case of that name; the caller states its shape. */
export function namedCase<I, E>(file: string, name: string): NamedCase<I, E> {
  const cases = readData(file) as readonly NamedCase<I, E>[];
  const found = cases.find((c) => c.name === name);
  if (found === undefined) throw new Error(`no case ${name} in ${file}`);
  return found;
}

/** The data write infinities as text. */
export function number(value: number | string): number {
  return Number(value);
}

/** Relative agreement, or absolute where the expected value is below 1e-12. */
export function expectRel(actual: number | null, expected: number, rel: number, what = ""): void {
  const value = actual ?? Number.NaN;
  if (!Number.isFinite(expected)) {
    expect(value, what).toBe(expected);
    return;
  }
  const off = Math.abs(value - expected) / Math.max(Math.abs(expected), 1e-12);
  const isClose = off <= rel;
  expect(isClose, `${what}: ${String(value)} for ${String(expected)}, off by ${String(off)}`).toBe(
    true,
  );
}

export function expectAbs(actual: number | null, expected: number, abs: number, what = ""): void {
  const off = Math.abs((actual ?? Number.NaN) - expected);
  expect(off <= abs, `${what}: ${String(actual)} for ${String(expected)}`).toBe(true);
}

/** Correct digits: log relative error, or log error where the reference value is 0; 16 at most. */
export function digits(actual: number, reference: number): number {
  const off = Math.abs(actual - reference) / (reference === 0 ? 1 : Math.abs(reference));
  return -Math.log10(Math.max(off, 1e-16));
}

/** At least so many correct digits. */
export function expectDigits(
  actual: number | null | undefined,
  reference: number,
  atLeast: number,
  what = "",
): void {
  const reached = digits(actual ?? Number.NaN, reference);
  const message = `${what}: ${String(actual)} for ${String(reference)}, ${reached.toFixed(1)} digits`;
  expect(reached >= atLeast, message).toBe(true);
}
