// What a key's meaning may use: the session as it stands, the acts, and the console's own lists,
// texts and questions. Made by the controller, handed to the commands.
import type { SessionUs } from "../../domain/time.ts";
import type { Summary } from "../../summary/summary.ts";
import type { ConsoleActs, Said } from "./acts.ts";
import type { ConsoleState, PickItem } from "./console-state.ts";
import type { ConsoleStatus } from "./console-status.ts";
import type { ListRow } from "./list-rows.ts";

export interface Desk {
  readonly acts: ConsoleActs;
  summary(): Summary;
  /** Session time now. */
  now(): SessionUs;
  status(): ConsoleStatus;
  state(): ConsoleState;
  /** Changes what the console remembers. */
  change(part: Partial<ConsoleState>): void;
  /** Shows what came of an act. */
  say(said: Said): void;
  /** Shows why nothing was done. */
  refuse(text: string): void;
  /**
   * A list takes over a panel; an empty one is refused with these words.
   *
   * @param selected - the line that is marked at first; the first one if it is left out
   */
  pick(title: string, items: readonly PickItem[], ifNone: string, selected?: number): void;
  /**
   * A text is typed; `accept` answers with a complaint, or null once it was taken.
   *
   * @param initial - stands there already, to be taken or changed
   */
  type(label: string, accept: (text: string) => string | null, initial?: string): void;
  /** @param no - what any other answer does; left out: nothing, and that is said */
  ask(text: string, yes: () => void, no?: () => void): void;
  /** The focused row in SCROLL. */
  selectedRow(): ListRow | undefined;
  quit(): void;
}
