// The terminal as the console and the board draw on it: takes whole frames, writes what changed.
import { EventEmitter } from "node:events";
import { fitLine, type Ground, RESET } from "./fit-line.ts";

/** What is needed of the terminal's output stream; `process.stdout` fits. */
export interface TerminalOutput {
  readonly columns?: number;
  readonly rows?: number;
  readonly writableNeedDrain: boolean;
  write(text: string): boolean;
  on(event: "drain" | "resize", listener: () => void): unknown;
  off(event: "drain" | "resize", listener: () => void): unknown;
}

export interface Size {
  readonly columns: number;
  readonly rows: number;
}

const ESC = String.fromCharCode(27);
const FRAME_OPEN = `${ESC}[?2026h`;
const FRAME_CLOSE = `${ESC}[?2026l`;
const CLEAR = `${ESC}[2J`;
/** Alternate screen, no wrapping at the margin, no cursor. */
const ENTER = `${ESC}[?1049h${ESC}[?7l${ESC}[?25l${CLEAR}`;
const LEAVE = `${FRAME_CLOSE}${RESET}${ESC}[?7h${ESC}[?25h${ESC}[?1049l`;
const UNKNOWN_SIZE: Size = { columns: 80, rows: 24 };

/**
 * Stands where Ink expects its output stream (`debug: true`, `patchConsole: false`,
 * `exitOnCtrlC: false`: then each write is one complete frame). Every row is usable; only lines that
 * differ from what is shown are written, each at its own address, in one write a frame.
 *
 * @see Ink 6.8.0, src/ink.tsx: the debug mode neither erases nor throttles
 */
export class Screen extends EventEmitter {
  readonly #out: TerminalOutput;
  #ground: Ground | undefined;
  #size: Size;
  #isEntered = false;
  /** Newest complete frame, drawn or not. */
  #frame: string | undefined;
  /** Frame lines as they stand on the terminal, by row. */
  #shown: string[] = [];
  #mustClear = false;
  #isWaiting = false;

  /**
   * @param out - the terminal
   * @param ground - the theme's colours for the whole screen; none leaves the terminal's own
   */
  constructor(out: TerminalOutput, ground?: Ground) {
    super();
    this.setMaxListeners(0);
    this.#out = out;
    this.#ground = ground;
    this.#size = sizeOf(out);
  }

  get columns(): number {
    return this.#size.columns;
  }

  get rows(): number {
    return this.#size.rows;
  }

  /** The same object until the terminal is resized, as an external store wants it. */
  readonly size = (): Size => this.#size;

  /** Calls back after each resize; the answer ends the subscription. */
  readonly subscribeSize = (listener: () => void): (() => void) => {
    this.on("resize", listener);
    return () => {
      this.off("resize", listener);
    };
  };

  /** Takes the terminal over. Does nothing if it already is. */
  enter(): void {
    if (this.#isEntered) return;
    this.#isEntered = true;
    this.#out.on("resize", this.relayout);
    this.#out.on("drain", this.#drained);
    this.#out.write(ENTER);
    this.#size = sizeOf(this.#out);
    this.#shown = [];
    this.#mustClear = false;
    this.#paint();
  }

  /** Gives the terminal back as it was. May be called any number of times, from anywhere. */
  leave(): void {
    if (!this.#isEntered) return;
    this.#isEntered = false;
    this.#isWaiting = false;
    this.#out.off("resize", this.relayout);
    this.#out.off("drain", this.#drained);
    this.#out.write(LEAVE);
  }

  /** Clears and draws everything again: after a resize, a change of theme or a stopped process. */
  readonly relayout = (): void => {
    const { columns, rows } = sizeOf(this.#out);
    if (columns !== this.#size.columns || rows !== this.#size.rows) this.#size = { columns, rows };
    this.#mustClear = true;
    this.emit("resize"); // a listener that draws at once saves the repaint of the old frame
    this.#clearIfNobodyDrew();
  };

  /** Paints the screen in other colours from the next frame on. */
  setGround(ground: Ground | undefined): void {
    this.#ground = ground;
    this.relayout();
  }

  /** Rings the terminal's bell. */
  bell(): void {
    if (this.#isEntered) this.#out.write(String.fromCharCode(7));
  }

  /**
   * Takes one complete frame, lines parted by line feeds. Too long a line is cut, rows beyond the
   * terminal's are left out, missing ones are blank.
   *
   * @param done - called once the frame was taken, as a stream would
   * @returns always true: a frame that cannot be written now gives way to the next one
   */
  write(frame: string, done?: () => void): boolean {
    // Ink ends with an empty write, and with a single line feed where it thinks it runs in a CI.
    if (frame !== "" && frame !== "\n") {
      this.#frame = frame;
      this.#paint();
    }
    if (done !== undefined) setImmediate(done);
    return true;
  }

  readonly #drained = (): void => {
    if (this.#isWaiting) this.#paint();
  };

  #clearIfNobodyDrew(): void {
    if (this.#mustClear) this.#paint();
  }

  #paint(): void {
    if (!this.#isEntered || this.#frame === undefined) return;
    this.#isWaiting = this.#out.writableNeedDrain;
    if (this.#isWaiting) return;
    let changes = "";
    if (this.#mustClear) {
      this.#shown = [];
      changes = (this.#ground?.open ?? "") + CLEAR;
    }
    const lines = this.#frame.split("\n");
    for (let row = 0; row < this.#size.rows; row++) {
      const line = lines[row] ?? "";
      if (line === this.#shown[row]) continue;
      this.#shown[row] = line;
      const fitted = fitLine(line, this.#size.columns, this.#ground);
      changes += `${ESC}[${String(row + 1)};1H${fitted}`;
    }
    this.#mustClear = false;
    if (changes !== "") this.#out.write(FRAME_OPEN + changes + FRAME_CLOSE);
  }
}

function sizeOf(out: TerminalOutput): Size {
  const { columns, rows } = out;
  if (columns === undefined || columns < 1 || rows === undefined || rows < 1) return UNKNOWN_SIZE;
  return { columns, rows };
}

/**
 * The screen in the shape of Ink's `stdout` option. Ink's debug mode uses no more of a stream than
 * `write`, `columns`, `on` and `off`; the rest of the type stays unimplemented on purpose.
 */
export function asInkOutput(screen: Screen): NodeJS.WriteStream {
  return screen as unknown as NodeJS.WriteStream;
}
