// Who is there? Asks on a port and gives the gates that the boxes stand at. Used for a session made
// without a sheet.
import type { Gate } from "../domain/session.ts";
import { decode, decoderStart } from "../protocol/decode.ts";
import { encodeHostLine, lineBytes } from "../protocol/encode.ts";
import type { BoxRole } from "../protocol/message.ts";
import type { ByteSource, Scheduler } from "./needs.ts";

/** Boxes answer within 0.3 s of being asked; a board that was reset by opening the port takes longer. */
const WAIT_MS = 4000;

/**
 * Gates in riding order by the roles that the boxes say: start, splits, finish.
 *
 * @returns as many gates as boxes answered; empty if none did
 */
export async function findGates(
  source: ByteSource,
  scheduler: Scheduler,
): Promise<readonly Gate[]> {
  const roles = new Map<BoxRole, string>();
  let state = decoderStart;
  await new Promise<void>((resolve) => {
    scheduler.after(WAIT_MS, resolve);
    source.open({
      bytes: (bytes, at) => {
        const decoded = decode(state, bytes, at);
        state = decoded.state;
        for (const { message } of decoded.messages) {
          if (message.type === "boot" || message.type === "event")
            roles.set(message.role, message.box);
        }
      },
      opened: () => {
        source.write(lineBytes(encodeHostLine({ type: "identify", box: "?" })));
      },
      lost: () => undefined,
    });
  });
  await source.close();
  return [...roles]
    .sort(([a], [b]) => place(a) - place(b))
    .map(([role, box]) => ({
      role: role === "S" ? "start" : role === "F" ? "finish" : "split",
      box,
      sector: null,
      terrain: null,
    }));
}

function place(role: BoxRole): number {
  if (role === "S") return 0;
  return role === "F" ? 10 : Number(role.slice(1));
}
