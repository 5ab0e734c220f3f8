// A terminal in memory behind a stream: what a person would see after the bytes were written.
import { EventEmitter } from "node:events";
import xterm from "@xterm/headless";

/** Output stream with a true emulator behind it; keeps every write. */
export class EmulatedTerminal extends EventEmitter {
  readonly writes: string[] = [];
  writableNeedDrain = false;
  columns: number;
  rows: number;
  readonly #terminal: InstanceType<typeof xterm.Terminal>;

  constructor(columns: number, rows: number) {
    super();
    this.columns = columns;
    this.rows = rows;
    this.#terminal = new xterm.Terminal({
      cols: columns,
      rows,
      scrollback: 1000,
      allowProposedApi: true,
    });
  }

  write(text: string): boolean {
    this.writes.push(text);
    this.#terminal.write(text);
    return true;
  }

  resize(columns: number, rows: number): void {
    this.columns = columns;
    this.rows = rows;
    this.#terminal.resize(columns, rows);
    this.emit("resize");
  }

  async #settled(): Promise<void> {
    await new Promise<void>((resolve) => {
      this.#terminal.write("", resolve);
    });
  }

  /** The visible rows, without trailing blanks. */
  async text(): Promise<readonly string[]> {
    await this.#settled();
    const buffer = this.#terminal.buffer.active;
    return Array.from(
      { length: this.rows },
      (_, row) =>
        buffer
          .getLine(buffer.baseY + row)
          ?.translateToString(true)
          .trimEnd() ?? "",
    );
  }

  /** Which of its two screens the terminal shows. */
  async buffer(): Promise<"normal" | "alternate"> {
    await this.#settled();
    return this.#terminal.buffer.active.type;
  }

  /** Rows that went out at the top of the screen shown. */
  async scrolled(): Promise<number> {
    await this.#settled();
    return this.#terminal.buffer.active.baseY;
  }

  /** Foreground and background of a cell as 24-bit numbers; -1 for the terminal's own. */
  async colours(row: number, column: number): Promise<readonly [number, number]> {
    await this.#settled();
    const cell = this.#terminal.buffer.active.getLine(row)?.getCell(column);
    if (cell === undefined) throw new RangeError(`no cell at ${String(row)}, ${String(column)}`);
    return [
      cell.isFgDefault() ? -1 : cell.getFgColor(),
      cell.isBgDefault() ? -1 : cell.getBgColor(),
    ];
  }
}
