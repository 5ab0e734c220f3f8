// What of the lines that came in goes into the journal, and as what; asked by the recorder for each.
import type { HostUs } from "../domain/time.ts";
import type { Decoded } from "../protocol/decode.ts";
import { describeFault, type Fault } from "../protocol/fault.ts";
import type { Receipt } from "../protocol/receiver.ts";
import { exchangeOf } from "../protocol/reply.ts";
import { HeartbeatThinner } from "./heartbeat-thinner.ts";
import { KeptFaults } from "./kept-faults.ts";
import type { Fresh } from "./session-file.ts";

/** Longest text that a row of the journal holds. */
const RAW_MAX = 400;

export class LineRows {
  private readonly ports: string;
  private readonly thinner = new HeartbeatThinner();
  private readonly faults = new KeptFaults();

  /** @param ports - every port, as one text: lines left out are counted over all of them */
  constructor(ports: string) {
    this.ports = ports.slice(0, 2000);
  }

  /** Lines that could not be read or do not count, beyond those that were kept. */
  get leftOutInAll(): number {
    return this.faults.total;
  }

  /** @param line - anything but an event that was here already */
  ofLine(port: string, line: Decoded["messages"][number], receipt: Receipt): readonly Fresh[] {
    const { raw, message, at } = line;
    if (message.type === "reply") {
      const exchange = exchangeOf(message, port, at);
      // Two boxes with one id: whose clock it was cannot be told.
      const track = receipt.state.boxes.get(message.box)?.boots.get(message.boot);
      if (exchange === undefined || track?.isDisputed === true) return [];
      this.thinner.heard(message, at);
      return [{ type: "clock-exchanged", body: exchange, monoUs: at }];
    }
    if (message.type === "heartbeat" && !this.thinner.take(message, at)) return [];
    if (receipt.refused && !this.faults.takeRefused(raw, at)) return [];
    if (message.type === "event" && !receipt.refused) this.thinner.heard(message, at);
    const fault = receipt.refused ? (receipt.notices.at(-1) ?? "a box number used twice") : null;
    const decoded: Record<string, string | number | null> = { ...message };
    return [{ type: "line-received", body: { port, raw, decoded, fault }, monoUs: at }];
  }

  ofFault(port: string, fault: Fault, at: HostUs): readonly Fresh[] {
    return this.ofUnread(port, fault.raw, describeFault(fault), at);
  }

  /** @param shown - the line, printable */
  ofUnread(port: string, shown: string, fault: string, at: HostUs): readonly Fresh[] {
    if (!this.faults.take(at)) return [];
    const raw = shown.length > RAW_MAX ? `${shown.slice(0, RAW_MAX - 3)}...` : shown;
    const body = { port, raw, decoded: null, fault: fault.slice(0, RAW_MAX) };
    return [{ type: "line-received", body, monoUs: at }];
  }

  /** What was not kept in a minute that is over (or `isLast`), in one row. */
  leftOut(at: HostUs, isLast: boolean): readonly Fresh[] {
    const count = this.faults.endMinute(at, isLast);
    if (count === 0) return [];
    const fault = `${String(count)} more lines that could not be read or do not count, within a minute`;
    const body = { port: this.ports, raw: "", decoded: null, fault };
    return [{ type: "line-received", body, monoUs: at }];
  }

  /** The rows given last did not get to the disk. */
  forget(): void {
    this.thinner.forget();
    this.faults.forget();
  }
}
