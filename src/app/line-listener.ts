// Tries a pattern out on a port: says of each line what it would count as, or why not; nothing is kept.
// Used by `listen` with --sheet or --pattern.
import type { ForeignLine } from "../domain/foreign-line.ts";
import type { ForeignPassing } from "../protocol/foreign-reader.ts";
import { ForeignPort } from "./foreign-port.ts";
import type { ByteSource } from "./needs.ts";

/** What a listener says to people. */
export interface ListenerVoice {
  /** One line of the result. */
  print(line: string): void;
  /** What happens beside it. */
  tell(line: string): void;
}

const FIRST_BOOT = 1;

export class LineListener {
  private readonly source: ByteSource;
  private readonly port: ForeignPort;
  private readonly host: () => string;
  private readonly voice: ListenerVoice;
  private matched = 0;
  private unmatched = 0;
  /** By gate as the lines say it. */
  private readonly gates = new Map<string, { count: number; newest: ForeignPassing }>();

  /** @param host - run of the laptop's clock at this moment */
  constructor(source: ByteSource, line: ForeignLine, host: () => string, voice: ListenerVoice) {
    this.source = source;
    this.host = host;
    this.voice = voice;
    this.port = new ForeignPort(source.name, line, FIRST_BOOT);
  }

  start(): void {
    this.source.open({
      bytes: (bytes, at) => {
        for (const { shown, read, notice } of this.port.take(bytes, at, this.host())) {
          const words = read.ok ? this.passing(read.value) : this.failed(read.error);
          this.voice.print(`${shown}  ->  ${words}`);
          if (notice !== null) this.voice.tell(notice);
        }
      },
      opened: () => {
        this.port.opened();
        this.voice.tell(`${this.source.name} is open: let something pass; Ctrl-C ends it`);
      },
      lost: (reason, hint) => {
        this.voice.tell(`${reason}: ${hint}; trying again all the time, Ctrl-C ends it`);
      },
    });
  }

  async stop(): Promise<void> {
    await this.source.close();
    const all = this.matched + this.unmatched;
    const lines = all === 1 ? "1 line" : `${String(all)} lines`;
    this.voice.print(
      `${lines}: ${String(this.matched)} counted, ${String(this.unmatched)} did not`,
    );
    for (const [gate, { count, newest }] of this.gates) {
      this.voice.print(`${gateWords(gate, this.isBare() ? "" : newest.box)}: ${String(count)}`);
    }
  }

  private failed(why: string): string {
    this.unmatched += 1;
    return why;
  }

  private passing(passing: ForeignPassing): string {
    const { gate, box, tag, isTagged, atUs } = passing;
    const before = this.gates.get(gate);
    this.gates.set(gate, { count: (before?.count ?? 0) + 1, newest: passing });
    const isCounted = box !== null || this.isBare();
    if (isCounted) this.matched += 1;
    else this.unmatched += 1;
    const { line } = this.port;
    const at = line.clock === "arrival" ? "on arrival" : `at ${(atUs / 1e6).toFixed(6)} s`;
    const tags = tag === null ? (isTagged ? ", no tag" : "") : `, tag ${tag}`;
    const since =
      before === undefined
        ? ""
        : before.newest.boot === passing.boot
          ? `, ${((atUs - before.newest.atUs) / 1e6).toFixed(6)} s since its line before`
          : ", its clock started again since";
    return `${gateWords(gate, this.isBare() ? "" : box)} ${at}${tags}${since}`;
  }

  /** No sheet says which box is where. */
  private isBare(): boolean {
    return Object.keys(this.port.line.boxes).length === 0;
  }
}

function gateWords(gate: string, box: string | null): string {
  const name = gate === "" ? "" : `gate "${gate}"`;
  if (box === "") return name === "" ? "a passing" : name;
  const counts = box === null ? "stands for NO BOX of the sheet" : `box ${box}`;
  return [name, counts].filter((word) => word !== "").join(" ");
}
