// What the rider is asked beside the clock: how a run was, how set-ups felt in it, how hard it was,
// and before run 1 what is expected; called by the commands.
import { askedAspects } from "../../domain/feel.ts";
import { EXERTION_KEY, EXPECTED_KEY } from "../../domain/measure-keys.ts";
import type { Run } from "../../domain/run.ts";
import type { RiderId, SetupId } from "../../domain/session.ts";
import { missingAspects } from "../../summary/asked-first.ts";
import { riderName } from "../look.ts";
import { runName } from "../run-words.ts";
import {
  ASPECT_WORDS,
  EXERTION_WORDS,
  FEEL_WORDS,
  HOW_IT_WAS,
  riderItems,
  setupItems,
} from "./choices.ts";
import type { PickItem } from "./console-state.ts";
import type { Desk } from "./desk.ts";

/**
 * Asks how a run was and then for each aspect of the sheet how it felt; an interrupted rider goes on
 * where the answers end. Without aspects: how the run felt.
 *
 * @param voidRun - for a run that had a problem
 */
export function rateFeel(desk: Desk, run: Run, voidRun: (desk: Desk, run: Run) => void): void {
  const { settings } = desk.summary();
  const asked = askedAspects(settings);
  const missing = missingAspects(desk.summary(), run.runId);
  const rest = missing.length === 0 ? asked : missing;
  if (settings.aspects.length === 0 || rest.length < asked.length) {
    rateAspects(desk, run, rest);
    return;
  }
  const items = HOW_IT_WAS.map(
    ({ label, incident, note, isProblem }): PickItem => ({
      label,
      take: () => {
        if (isProblem === true) {
          voidRun(desk, run);
          return;
        }
        if (incident !== undefined) desk.say(desk.acts.noteIncident(run.runId, incident, null));
        if (note !== undefined) desk.say(desk.acts.addNote(note, run.runId));
        rateAspects(desk, run, rest);
      },
    }),
  );
  desk.pick(`How was ${runOf(desk, run)}?`, items, "");
}

/** One list an aspect; a refused rating ends it. */
function rateAspects(desk: Desk, run: Run, aspects: readonly string[]): void {
  const [aspect, ...others] = aspects;
  if (aspect === undefined) return;
  const isNamed = desk.summary().settings.aspects.length > 0;
  const items = (isNamed ? ASPECT_WORDS : FEEL_WORDS).map(
    (label, i): PickItem => ({
      label,
      take: () => {
        const said = desk.acts.rateFeel(run.runId, aspect, i + 1);
        desk.say(said);
        if (said.ok) rateAspects(desk, run, others);
      },
    }),
  );
  const title = isNamed ? `${aspect} in ${runOf(desk, run)}?` : `How did ${runOf(desk, run)} feel?`;
  desk.pick(title, items, "");
}

/** Asks how hard the run was. */
export function askExertion(desk: Desk, run: Run): void {
  const { runId, rider, setup } = run;
  const items = EXERTION_WORDS.map(
    ({ value, word }): PickItem => ({
      label: `${String(value)}  ${word}`.trimEnd(),
      take: () => {
        const measure = { runId, rider, setup, key: EXERTION_KEY, value, unit: null };
        desk.say(desk.acts.takeMeasure(measure));
      },
    }),
  );
  desk.pick(`How hard was ${runOf(desk, run)}?`, items, "");
}

/** Asks whose expectation of which set-up it is, which way, and by how much. */
export function askExpectation(desk: Desk): void {
  const { riders } = desk.summary();
  const ask = (rider: RiderId): void => {
    expectOfWhich(desk, rider);
  };
  const only = riders.length === 1 ? riders[0] : undefined;
  if (only !== undefined) ask(only.id);
  else desk.pick("Who expects something?", riderItems(desk.summary(), ask), "there are no riders");
}

function expectOfWhich(desk: Desk, rider: RiderId): void {
  const summary = desk.summary();
  const own = summary.riders.find((each) => each.id === rider)?.setups ?? null;
  const candidates = summary.setups.filter(
    ({ id }) => id !== summary.baseline && (own?.includes(id) ?? true),
  );
  const only = candidates.length === 1 ? candidates[0] : undefined;
  if (only !== undefined) {
    expectWhichWay(desk, rider, only.id);
    return;
  }
  const ask = (setup: SetupId): void => {
    expectWhichWay(desk, rider, setup);
  };
  const items = setupItems({ ...summary, setups: candidates }, ask);
  desk.pick("Which set-up?", items, "there is no set-up to compare");
}

function expectWhichWay(desk: Desk, rider: RiderId, setup: SetupId): void {
  const { baseline } = desk.summary();
  const note = (value: number): void => {
    const measure = { runId: null, rider, setup, key: EXPECTED_KEY, value, unit: "s" };
    desk.say(desk.acts.takeMeasure(measure));
  };
  const byHowMuch = (word: string, sign: 1 | -1): PickItem => ({
    label: `${setup} ${word} than ${baseline}`,
    take: () => {
      desk.type(`${setup} ${word} than ${baseline} by, s`, (text) => {
        const seconds = Number(text.replace(",", "."));
        if (!(seconds > 0 && seconds < 1000)) return "seconds above nought, like 1.5";
        note(sign * seconds);
        return null;
      });
    },
  });
  const items: readonly PickItem[] = [
    byHowMuch("quicker", -1),
    byHowMuch("slower", 1),
    {
      label: "no difference",
      take: () => {
        note(0);
      },
    },
    {
      label: "no idea: nothing is noted",
      take: () => {
        desk.say({ ok: true, text: "nothing noted" });
      },
    },
  ];
  desk.pick(`What does ${riderName(desk.summary(), rider)} expect of ${setup}?`, items, "");
}

function runOf(desk: Desk, run: Run): string {
  return `${run.k === null ? "the " : ""}${runName(run)} of ${riderName(desk.summary(), run.rider)}`;
}
