// Where the sheet has a box, and whether it says the same; asked by the recorder for each line with a role.
import type { Gate } from "../domain/session.ts";
import { isRole } from "../protocol/fields.ts";
import type { BoxRole } from "../protocol/message.ts";

/**
 * What is odd about a box that says this role, in words; null if it is where the sheet has it.
 *
 * @param gates - in riding order; a box may stand at start and finish (a loop)
 */
export function placeTrouble(gates: readonly Gate[], box: string, role: BoxRole): string | null {
  const named = gates.map((gate, i) => ({ gate, role: roleOf(gates, i) }));
  const own = named.filter(({ gate }) => gate.box === box);
  if (own.length === 0) {
    const missing = `box ${box} is heard but stands at no gate of this session`;
    return `${missing}: its passings are kept and count for no run`;
  }
  if (own.some((gate) => gate.role === role)) return null;
  const where = own.map((gate) => wordsOf(gate.role)).join(" and ");
  return `box ${box} says it stands at ${wordsOf(role)}, the session has it at ${where}: it is timed as the session says; move the box or give it the other role`;
}

/** The role that a box at its gate would say; of one at start and finish the start's. */
export function roleAt(gates: readonly Gate[], box: string): BoxRole {
  const role = roleOf(
    gates,
    gates.findIndex((gate) => gate.box === box),
  );
  // Lines know nine splits, and none of a box that stands nowhere: gates go by the sheet, not by this.
  return isRole(role) ? role : "P9";
}

function roleOf(gates: readonly Gate[], index: number): string {
  const role = gates[index]?.role;
  if (role === "start") return "S";
  if (role === "finish") return "F";
  return `P${String(gates.slice(0, index + 1).filter((gate) => gate.role === "split").length)}`;
}

function wordsOf(role: string): string {
  if (role === "S") return "the start";
  if (role === "F") return "the finish";
  return `split ${role.slice(1)}`;
}
