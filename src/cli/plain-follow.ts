// One sentence an event on standard output: console and board without a screen.
import type { SessionFile } from "../app/session-file.ts";
import { hostUs, type SessionUs, sessionUs } from "../domain/time.ts";
import { createAlertTeller } from "../tui/plain/alert-sentences.ts";
import { createSentenceTeller } from "../tui/plain/sentences.ts";
import { laptopTimers } from "./laptop-time.ts";
import { printLine } from "./print.ts";

/** Session time now, by the clock of this file. */
export function nowIn(file: SessionFile): SessionUs {
  return sessionUs(file.sessionUs(hostUs(file.clock.monoUs())));
}

/**
 * Says how things stand, then whatever happens.
 *
 * @returns a function that ends it
 */
export function sayEvents(file: SessionFile, isBlind: boolean, withAlerts: boolean): () => void {
  const teller = createSentenceTeller({ isBlind });
  const tell = (): void => {
    for (const sentence of teller(file.summary(), nowIn(file))) printLine(sentence);
  };
  tell();
  const unsubscribe = file.subscribe(tell);
  const alerts = createAlertTeller();
  const stopAlerts = laptopTimers.every(1000, () => {
    // A time is told once the rider has answered, or a minute has passed.
    tell();
    if (!withAlerts) return;
    for (const sentence of alerts(file.summary(), nowIn(file))) printLine(sentence);
  });
  return () => {
    unsubscribe();
    stopAlerts();
  };
}

/** Resolves when standard input ends: nobody is there any more. */
export function untilInputEnds(): Promise<void> {
  return new Promise((resolve) => {
    process.stdin.once("end", resolve);
    process.stdin.once("error", () => {
      resolve();
    });
    process.stdin.resume();
  });
}
