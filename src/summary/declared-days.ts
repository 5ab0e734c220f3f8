// Whether the days of a merged session were promised before the first of them, and what holds if they
// were not; called by the summary before anything is compared.
import type { ComparisonInput } from "../domain/comparison.ts";
import type { Settings } from "../domain/session.ts";
import type { Session } from "../session/session.ts";

/** A session that was made. */
export type MadeSession = Session & { readonly settings: Settings };

/**
 * The session with the promise that holds for it. A plan made for fewer days than were ridden is
 * none: another day after a look at the first is a fresh start, and the plan band's error would grow
 * with each. The open band holds at any number of runs and days (phi 0.5: it was planned for none).
 *
 * @see Lindon, Ham, Tingley & Bojinov, arXiv:2210.08589: valid at every look, without an end;
 *   test/summary/several-days.test.ts would notice a plan band on undeclared days
 */
export function withPromise(session: MadeSession): MadeSession {
  const { settings, riders, daySheets } = session;
  if (settings.bands === "open" || daySheets.length <= settings.days) return session;
  return {
    ...session,
    settings: { ...settings, bands: "open", plannedRuns: null },
    riders: riders.map((rider) => ({ ...rider, plannedRuns: null })),
    plannedEnds: [],
  };
}

/** Days ridden where the open band stands in for a plan that covers fewer; null where it does not. */
export function daysBeyondDeclared({ settings, daySheets = [] }: ComparisonInput): number | null {
  const isInPlace = settings.bands === "open" && daySheets[0]?.bands === "plan";
  return isInPlace && daySheets.length > settings.days ? daySheets.length : null;
}
