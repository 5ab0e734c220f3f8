// The gate check before the first run: every gate walked through and ticked, what is wrong with it in
// words, what the walk has left behind, and how a gate should stand. Called by the console's drawing.
import type { BoxHealth } from "../../domain/equipment.ts";
import type { Passing } from "../../domain/passing.ts";
import type { BoxId } from "../../domain/session.ts";
import type { SessionUs } from "../../domain/time.ts";
import {
  type CheckedGate,
  CLEAR_BEAM_PCT,
  type GateCheck,
  type GateCheckRuns,
  type GateClock,
  gateCheck,
  gateCheckRuns,
} from "../../summary/gate-check.ts";
import { quietHint, roleName } from "../../summary/gate-health.ts";
import type { Summary } from "../../summary/summary.ts";
import { bold, heading, type Line, line } from "../line.ts";
import { alarm, type Look } from "../look.ts";
import { safeText, wrapText } from "../present/safe-text.ts";
import { age, clockTime, runningTime } from "../present/seconds.ts";

/** How gates should stand; the last lines of the page. From common practice. */
export const GATE_HELP = [
  "Gates stand where the terrain changes, fast and straight: no braking, no jump.",
  "Sectors of at least 10 to 15 s.",
  "Run-out beyond the finish before any person, car or laptop.",
  "The beam square to the line, at hub height; posts and boxes outside the line and where a rider falls.",
  "Never move or aim a gate again between runs without saying so.",
] as const;

const WALK_HELP =
  "Walk through each beam once. A hand or a walker can look like a bike and open a run: strike those out before the first rider starts.";

export interface GateCheckOf {
  readonly summary: Summary;
  readonly now: SessionUs;
  /** When the page was opened: beams are to be walked through from then on. */
  readonly since: SessionUs;
  /** How long a box's battery lasts, in words; null: not known. */
  readonly lastsTo?: (box: BoxId) => string | null;
}

/** The page, as many lines as it takes; each at most `width` columns. */
export function gateCheckPage(of: GateCheckOf, width: number, look: Look): readonly Line[] {
  const { summary, now, since } = of;
  const check = gateCheck(summary, now, since);
  const paragraph = (text: string): readonly Line[] => indented(text, "", width).map(line);
  return [
    heading(line("GATE CHECK"), width, look.glyphs),
    ...check.gates.flatMap((gate) => gateLines(of, gate, width, look)),
    ...check.unknown.flatMap((box) => indented(unknownWords(box, check), "", width).map(line)),
    ...indented(readyWords(check), "", width).map((text) => bold(text)),
    ...leftoverWords(gateCheckRuns(summary), of).flatMap(paragraph),
    heading(line("HOW A GATE STANDS"), width, look.glyphs),
    ...[WALK_HELP, ...GATE_HELP].flatMap(paragraph),
  ];
}

/**
 * What walking through the beams has left behind, in words; for the page and for the question before
 * it is struck out. Empty: nothing.
 */
export function leftoverWords(
  { finished, open, passings }: GateCheckRuns,
  { summary, now }: Pick<GateCheckOf, "summary" | "now">,
): readonly string[] {
  const loose = summary.loosePassings.filter((p) => passings.includes(p.passingId)).length;
  const parts = [
    ...(finished.length > 0 ? [counted(finished.length, "run")] : []),
    ...(loose > 0 ? [`${counted(loose, "passing")} in no run`] : []),
  ];
  const left = parts.join(" and ");
  return [
    ...(left === "" ? [] : [`Left from walking through: ${left}: strike out as "gate check"`]),
    ...open.map(({ startedAt }) => {
      const since = startedAt === null ? "" : ` ${runningTime((now - startedAt) / 1e6)} ago`;
      return `A run was opened${since}: a rider, or the check? Strike it out only if nobody is riding`;
    }),
  ];
}

function gateLines(of: GateCheckOf, gate: CheckedGate, width: number, look: Look): readonly Line[] {
  const { name, box, seen } = gate;
  if (box === null)
    return indented(`[-] ${name}: by hand, no beam to check`, "    ", width).map(line);
  const title =
    seen === null
      ? `[ ] ${name}: WALK THROUGH IT`
      : `[x] ${name}: seen ${age((of.now - seen.at) / 1e6)} ago, ${passingShapeWords(seen)}`;
  const top = indented(title, "    ", width);
  const faults = faultWords(of, gate, box).flatMap((text) =>
    indented(`    ! ${text}`, "      ", width),
  );
  const details = indented(`    ${detailWords(of, gate, box)}`, "    ", width);
  return [
    ...top.map(seen === null ? (text) => bold(text) : line),
    ...faults.map((text) => alarm(text, look)),
    ...details.map(line),
  ];
}

/** What the program makes of a passing's shape: `0.42 s, 6 blockings: a bike`. */
function passingShapeWords({ source, tag, state, blockedS, pulses }: Passing): string {
  if (source === "transponder") return safeText(`transponder ${tag ?? ""}, no beam broken`);
  if (blockedS === null || pulses === null) return "beam broken, not clear again yet";
  const shape = `${blockedS.toFixed(2)} s, ${counted(pulses, "blocking")}`;
  if (state === "not-a-bike") {
    return blockedS >= 1
      ? `one long block of ${blockedS.toFixed(1)} s: a walker, shown as not a bike`
      : `one short block of ${blockedS.toFixed(3)} s: a leaf or an insect, shown as not a bike`;
  }
  if (state === "rejected") return `${shape}: struck out`;
  return state === "double" ? `${shape}: the same bike again` : `${shape}: a bike`;
}

function faultWords(
  { summary, now }: GateCheckOf,
  { faults, notices, otherRole, name }: CheckedGate,
  box: BoxHealth,
): readonly string[] {
  const words: Readonly<Record<(typeof faults)[number] | (typeof notices)[number], string>> = {
    "not heard": "NOT HEARD YET: switched on? cable? radio?",
    quiet: quietWords(box, now, summary.settings.zone),
    disputed: "ONE NUMBER USED TWICE: two boxes of that id? reset it",
    "other role": `SAYS THAT IT IS THE ${(otherRole ?? "").toUpperCase()}, the sheet has it at the ${name}: boxes mixed up?`,
    blocked: "BEAM BLOCKED: no times until it is clear",
    "weak beam": `beam weak, seen ${String(box.beamPct)} % of the time: aim again, mind the sun`,
    "low battery": "battery low: change it before the first run",
    "clock not settled": "clock not settled: its first minute of questions is not over",
    "no beam broken": "only a transponder was read: walk through the beam",
  };
  return [...faults, ...notices].map((each) => words[each]);
}

function quietWords(box: BoxHealth, now: SessionUs, zone: string): string {
  if (box.lastHeardAt === null) return "";
  const quiet = runningTime((now - box.lastHeardAt) / 1e6);
  return `QUIET FOR ${quiet} ${quietHint(box, clockTime(box.lastHeardAt, zone))}`;
}

/** Link, role, battery, beam, clock; what is wrong stands above it. */
function detailWords(
  { summary, now, lastsTo }: GateCheckOf,
  { faults, clock, otherRole }: CheckedGate,
  box: BoxHealth,
): string {
  const id = safeText(box.box);
  if (box.lastHeardAt === null) return `box ${id}`;
  const ago = age((now - box.lastHeardAt) / 1e6);
  const at = clockTime(box.lastHeardAt, summary.settings.zone, true);
  const heard = faults.includes("quiet") ? `last heard ${at}` : `heard ${ago} ago`;
  const role =
    box.role === null
      ? "role not told yet"
      : otherRole === null
        ? `${roleName(box.role)} as on the sheet`
        : `says ${roleName(box.role)}`;
  const lasts = lastsTo?.(box.box) ?? null;
  const battery = `${batteryWords(box.battMv)}${lasts === null ? "" : `, ${safeText(lasts)}`}`;
  return [
    `box ${id}, ${heard}`,
    role,
    battery,
    beamWords(box, faults),
    ...(clock === null ? [] : [clockWords(clock)]),
    ...(box.restarts === 0 ? [] : [`restarted ${counted(box.restarts, "time")}`]),
    ...(box.glitches == null ? [] : [counted(box.glitches, "glitch", "glitches")]),
  ].join("; ");
}

function batteryWords(battMv: number | null): string {
  if (battMv === null || battMv <= 0) return "battery not told";
  return `battery ${(battMv / 1000).toFixed(2)} V`;
}

/** A passing takes its own share of the time: then a share below 90 % is not called weak. */
function beamWords({ beamPct, isBlocked }: BoxHealth, faults: CheckedGate["faults"]): string {
  if (isBlocked) return "beam blocked";
  if (beamPct === null) return "beam not told yet";
  const share = `beam ${String(beamPct)} %`;
  if (faults.includes("weak beam")) return `${share}, weak`;
  return beamPct >= CLEAR_BEAM_PCT ? `${share}, clear` : `${share}, somebody just passed`;
}

function clockWords({ answers, isFirstMinuteOver, uncertaintyS }: GateClock): string {
  const asked = counted(answers, "answer");
  if (uncertaintyS !== null) {
    // Rounded up: better than a tenth of a millisecond is not to be told from it.
    const goodMs = Math.max(1, Math.ceil(uncertaintyS * 1e4)) / 10;
    return `clock good to ${goodMs.toFixed(1)} ms, ${asked}`;
  }
  return `clock: ${asked}, first minute ${isFirstMinuteOver ? "over" : "not over"}`;
}

function unknownWords(box: BoxHealth, { gates }: GateCheck): string {
  const role = box.role === null ? "" : `, says that it is the ${roleName(box.role)}`;
  const dead = gates.filter(({ faults }) => faults.includes("not heard")).map(({ name }) => name);
  const instead = dead.length === 0 ? "" : `: is it the one for the ${dead.join(" or the ")}?`;
  return safeText(`? box ${box.box} is heard and is not on the sheet${role}${instead}`);
}

/** The last word: ready, or what is missing. */
function readyWords({ gates, boxed, missing, isReady }: GateCheck): string {
  if (boxed === 0) return "no gate has a box: nothing to check";
  if (missing.length > 0) return `not seen yet: ${missing.join(", ")}`;
  const all = boxed === 1 ? "the gate is seen" : `all ${String(boxed)} gates seen`;
  const wrong = gates.flatMap(({ name, faults }) => faults.map((fault) => `${name} ${fault}`));
  if (!isReady) return `${all}, NOT READY: ${wrong.join(", ")}`;
  const soon = gates.flatMap(({ name, notices }) => notices.map((notice) => `${name} ${notice}`));
  return soon.length === 0 ? `${all}: ready` : `${all}: ready, but see to: ${soon.join(", ")}`;
}

function counted(n: number, one: string, many = `${one}s`): string {
  return `${String(n)} ${n === 1 ? one : many}`;
}

/** Lines of at most `width` columns; all but the first begin with `indent`. */
function indented(text: string, indent: string, width: number): readonly string[] {
  const own = /^ */u.exec(text)?.[0] ?? "";
  const words = text.slice(own.length);
  const first = wrapText(words, width - own.length);
  const [head = ""] = first;
  const rest = words.slice(head.length).trimStart();
  const below = rest === "" ? [] : wrapText(rest, width - indent.length);
  return [`${own}${head}`, ...below.map((each) => `${indent}${each}`)];
}
