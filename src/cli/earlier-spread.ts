// The run-to-run spread of earlier days on the same stretch; called by `plan` and `new`.
import { realpathSync } from "node:fs";
import type { KnownSpread } from "../advisor/plan-day.ts";
import { countedSpread, pooledSpread } from "../advisor/plan-spread.ts";
import { UserError } from "../domain/errors.ts";
import type { Sheet } from "../domain/session.ts";
import type { Summary } from "../summary/summary.ts";
import { openToRead } from "./open-session.ts";

/** What earlier days say, and what of them was left out, in words. */
export interface EarlierSpread {
  readonly spread: KnownSpread | null;
  readonly notes: readonly string[];
}

/** For an option that may be repeated. */
export function collected(file: string, before: readonly string[]): readonly string[] {
  return [...before, file];
}

/**
 * The spread of the counted runs of earlier sessions, riders of the sheet alone, pooled by their
 * degrees of freedom.
 *
 * @param planned - the file that is planned for, which is no earlier day
 * @throws {UserError} `refused` for a session of another stretch, a file named twice, or where no
 *   session has counted runs enough of the sheet's riders; what opening a session throws
 */
export function earlierSpread(
  files: readonly string[],
  planned: string,
  sheet: Sheet,
): EarlierSpread {
  const found = files.map((file) => spreadIn(file, sheet));
  refuseTwice([planned, ...files]);
  const spread = pooledSpread(found.map((each) => each.spread));
  if (files.length > 0 && spread === null) {
    throw new UserError(
      "refused",
      `no spread in ${files.join(", ")}: too few counted runs of ${ridersOf(sheet)}`,
      "name sessions with more runs, or leave --earlier out",
    );
  }
  return { spread, notes: found.flatMap((each) => each.notes) };
}

function spreadIn(file: string, sheet: Sheet): EarlierSpread {
  const session = openToRead(file);
  let summary: Summary;
  try {
    summary = session.summary();
  } finally {
    session.close();
  }
  const { stretch } = summary.settings;
  if (plainName(stretch) !== plainName(sheet.settings.stretch)) {
    throw new UserError(
      "refused",
      `${file} is of the stretch "${stretch}", the plan of "${sheet.settings.stretch}"`,
      "a spread holds for its own stretch: name sessions of the same one",
    );
  }
  const { riders } = summary.comparison;
  const own = riders.filter(({ rider }) => sheet.riders.some(({ id }) => id === rider));
  const others = riders.filter((rider) => !own.includes(rider)).map(({ rider }) => rider);
  const spread = countedSpread(own);
  const notes = [
    ...(others.length === 0
      ? []
      : [`${file}: ${others.join(", ")} left out, not among the riders of the plan`]),
    ...(spread === null ? [`${file}: too few counted runs for a spread, left out`] : []),
  ];
  return { spread, notes };
}

/** Counting a day twice would make its spread look better known than it is. */
function refuseTwice(files: readonly string[]): void {
  const seen = new Set<string>();
  for (const file of files) {
    const real = realpathSync(file);
    if (seen.has(real)) {
      throw new UserError("refused", `${file} is named twice`, "name each earlier day once");
    }
    seen.add(real);
  }
}

function plainName(stretch: string): string {
  return stretch.normalize("NFC").trim().toLocaleLowerCase("en");
}

function ridersOf({ riders }: Sheet): string {
  return riders.map(({ id }) => id).join(", ");
}
