// What a restarted recorder has to know of what was received before; handed to `rebuildReceiver`.
import type { BoxMessage } from "../protocol/message.ts";
import type { Fold } from "./evidence.ts";
import { itemsOf } from "./growing.ts";

/** A message with the port that it came in on. */
export interface HeldMessage {
  readonly port: string;
  readonly message: BoxMessage;
}

/**
 * The stored messages that decide what is here and what is missing: every event that counts, every
 * gap, and of what each boot said of itself the first and the newest. Oldest first; of a merged
 * session the newest day's, which is how its own recorder left it.
 */
export function heldOf(fold: Fold): readonly HeldMessage[] {
  const newest = [...fold.boxes.values()]
    .filter((box) => box.day === fold.day)
    .flatMap((box) => [...box.boots.values()].flatMap((boot) => boot.newestHeld ?? []))
    .sort((a, b) => a.place - b.place);
  const received = itemsOf(fold.received);
  // Each where it came: after later events, a word from before them would look like a clock set back.
  let taken = 0;
  const held: HeldMessage[] = [];
  for (const { place, port, message } of newest) {
    held.push(...received.slice(taken, place), { port, message });
    taken = place;
  }
  return [...held, ...received.slice(taken)];
}
