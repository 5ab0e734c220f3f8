// What can be done about gates and passings beside keying them: the gate check's leftovers, a passing put
// in afterwards. Called by the commands.
import type { RiderId } from "../../domain/session.ts";
import { type SessionUs, sessionUs } from "../../domain/time.ts";
import { gateCheckRuns } from "../../summary/gate-check.ts";
import { clockTime } from "../present/seconds.ts";
import { gateNames } from "../run-words.ts";
import { riderItems } from "./choices.ts";
import type { Desk } from "./desk.ts";

const DAY_S = 86_400;

/** Strikes out what a walk through the beams left behind; what may be a real rider only on yes. */
export function strikeGateCheck(desk: Desk): void {
  const found = gateCheckRuns(desk.summary());
  const strike = (passings: readonly string[]): void => {
    desk.say(desk.acts.rejectPassings(passings, "gate check"));
  };
  if (found.passings.length === 0 && found.openPassings.length === 0) {
    desk.refuse("the gate check left nothing behind");
  } else if (found.open.length === 0) {
    strike(found.passings);
  } else {
    const runs = found.open.length === 1 ? "1 run is" : `${String(found.open.length)} runs are`;
    desk.ask(
      `${runs} open: is it sure that nobody is riding? y: it was the gate check; n: only the finished ones go`,
      () => {
        strike([...found.passings, ...found.openPassings]);
      },
      () => {
        if (found.passings.length > 0) strike(found.passings);
        else desk.say({ ok: true, text: "left as it is" });
      },
    );
  }
}

/** A passing that nothing saw: gate, time of day, and whose it was where there are several riders. */
export function insertPassing(desk: Desk): void {
  const { gates } = desk.summary();
  const items = gateNames(gates).map((name, gate) => ({
    label: name,
    take: () => {
      typeTime(desk, name, (at) => {
        ofWhom(desk, (rider) => {
          desk.say(desk.acts.insertPassing(gate, at, rider));
        });
      });
    },
  }));
  desk.pick("Which gate did nothing see?", items, "there are no gates");
}

function typeTime(desk: Desk, gate: string, take: (at: SessionUs) => void): void {
  desk.type(`time of day at the ${gate}, h:m:s`, (text) => {
    const at = timeOfDay(text, desk.now(), desk.summary().settings.zone);
    if (at === undefined) return "a time of day like 10:42:07.5";
    take(at);
    return null;
  });
}

/** The newest moment at which a clock in the zone showed that; undefined for no time of day. */
function timeOfDay(text: string, now: SessionUs, zone: string): SessionUs | undefined {
  const typedS = secondsOfDay(text);
  const nowS = secondsOfDay(clockTime(now, zone, true));
  if (typedS === undefined || nowS === undefined) return undefined;
  const sinceWhole = ((Number(now) / 1e6) % 1) + nowS;
  const agoS = (((sinceWhole - typedS) % DAY_S) + DAY_S) % DAY_S;
  return sessionUs(Math.round(Number(now) - agoS * 1e6));
}

function secondsOfDay(text: string): number | undefined {
  const found = /^([01]?\d|2[0-3]):([0-5]\d):([0-5]\d(?:[.,]\d{1,6})?)$/.exec(text.trim());
  if (found === null) return undefined;
  const [, h, m, s] = found;
  return Number(h) * 3600 + Number(m) * 60 + Number((s ?? "0").replace(",", "."));
}

function ofWhom(desk: Desk, take: (rider: RiderId | null) => void): void {
  const { riders } = desk.summary();
  if (riders.length < 2) {
    take(riders[0]?.id ?? null);
    return;
  }
  const nobody = {
    label: "not known whose",
    take: () => {
      take(null);
    },
  };
  desk.pick("Whose was it?", [...riderItems(desk.summary(), take), nobody], "");
}
