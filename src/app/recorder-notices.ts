// What the recorder has to say to people, each thing once; called by the recorder only.
import type { BoxMessage } from "../protocol/message.ts";
import type { Session } from "../session/session.ts";
import { placeTrouble } from "./box-places.ts";

export class RecorderNotices {
  private readonly notice: (text: string) => void;
  private last = "";
  /** Boxes and roles that were held against the sheet. */
  private readonly placed = new Set<string>();
  private saidClosed = false;

  constructor(notice: (text: string) => void) {
    this.notice = notice;
  }

  /** The same sentence is not said twice in a row. */
  say(text: string): void {
    if (text === this.last) return;
    this.last = text;
    this.notice(text);
  }

  /** Something changed for the better: the next sentence is said, whichever it is. */
  forgetLast(): void {
    this.last = "";
  }

  /** Once a box and role: if it stands elsewhere than the session has it. */
  mindPlace(session: Session, message: BoxMessage): void {
    if (message.type !== "boot" && message.type !== "event") return;
    const key = `${message.box} ${message.role}`;
    if (this.placed.has(key)) return;
    this.placed.add(key);
    const trouble = placeTrouble(session.gates, message.box, message.role);
    if (trouble !== null) this.say(trouble);
  }

  /** Once a closing: gates go on seeing, and nothing that they see is thrown away. */
  mindClosed(session: Session): void {
    if (!session.isClosed && this.saidClosed) this.forgetLast();
    if (session.isClosed && !this.saidClosed) {
      this.say(
        "the session is closed: what the gates see is kept all the same; reopen it if the day goes on",
      );
    }
    this.saidClosed = session.isClosed;
  }
}
