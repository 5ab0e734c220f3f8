// The set-up that goes on the bike next as it is shown; used by the console and the board.
import { valuesName } from "../domain/explored-values.ts";
import type { SetupId } from "../domain/session.ts";
import { nextValues } from "../summary/exploration.ts";
import type { Summary } from "../summary/summary.ts";
import type { Span } from "./line.ts";
import { type Look, labelSpan } from "./look.ts";
import { safeText } from "./present/safe-text.ts";

/** Id, shape and name; a value that no set-up has yet goes by its own name. */
export function nextLabel(summary: Summary, setup: SetupId, look: Look): Span {
  const isThere = summary.setups.some((each) => each.id === setup);
  const values = isThere ? null : nextValues(summary);
  if (values === null || summary.explored === null) return labelSpan(summary, setup, look);
  return { text: safeText(`${setup} ${valuesName(summary.explored.settings, values)}`) };
}
