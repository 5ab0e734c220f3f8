// What to say when a serial port cannot be opened or is lost; used by the serial source.

/** What happened, and what to do about it. */
export interface PortTrouble {
  readonly reason: string;
  readonly hint: string;
}

/** What the words need to know of the world around. */
export interface PortSurroundings {
  /** Ports that are there now. */
  readonly portsHere: readonly string[];
  /** Group that owns the port, if it can be told. */
  readonly group: string | null;
}

/**
 * The serial library's errors carry no code, so their text is matched.
 *
 * @param text - message of the error that opening gave
 */
export function openTrouble(
  path: string,
  text: string,
  { portsHere, group }: PortSurroundings,
): PortTrouble {
  if (/no such (?:file|device)/i.test(text)) {
    const here = portsHere.length > 0 ? `ports here: ${portsHere.join(", ")}` : "no port is here";
    return { reason: `${path} is not there`, hint: `is the cable in? ${here}` };
  }
  if (/permission denied/i.test(text)) {
    const belongs =
      group === null
        ? "ask who owns it"
        : `it belongs to group ${group}: add yourself to it (usermod -aG ${group} you) and log in again`;
    return { reason: `you may not open ${path}`, hint: belongs };
  }
  if (/cannot lock port|temporarily unavailable|device or resource busy/i.test(text)) {
    return { reason: `${path} is in use by another program`, hint: "close that one" };
  }
  if (/inappropriate ioctl|is a directory/i.test(text)) {
    return { reason: `${path} is not a serial port`, hint: "see swaplap ports" };
  }
  return { reason: `${path} cannot be opened (${text})`, hint: "see swaplap ports" };
}

/**
 * The port was open and is no more: cable out, adapter gone.
 *
 * @param holdsEvents - what is at the other end waits until it is heard again, as our boxes do
 */
export function lostTrouble(path: string, holdsEvents: boolean): PortTrouble {
  if (!holdsEvents) {
    return {
      reason: `receiver lost on ${path}`,
      hint: "what passes now is not heard: put the cable back in, or key the times",
    };
  }
  return {
    reason: `box lost on ${path}`,
    hint: "events wait in the box; put the cable back in and they come",
  };
}
