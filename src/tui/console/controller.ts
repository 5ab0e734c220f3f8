// The console without its picture: takes keys and ticks, does acts, remembers the mode; drawn by console.tsx.
import { hostUs, type SessionUs } from "../../domain/time.ts";
import { type Alert, alertsAt } from "../../summary/alerts.ts";
import type { Summary } from "../../summary/summary.ts";
import { createChangeNews } from "../change-news.ts";
import type { Feed } from "../feed.ts";
import { type LastPress, pressCounts } from "../keys/debounce.ts";
import { type Command, commandFor } from "../keys/key-map.ts";
import { keyName } from "../keys/key-name.ts";
import type { Key } from "../keys/key-stream.ts";
import { riderName } from "../look.ts";
import { clockTime } from "../present/seconds.ts";
import type { ThemeName } from "../present/theme.ts";
import type { ConsoleActs } from "./acts.ts";
import { hasUnseenAlerts, rememberAlerts } from "./alert-memory.ts";
import { runCommand } from "./commands.ts";
import { type ConsoleState, firstState } from "./console-state.ts";
import type { ConsoleStatus } from "./console-status.ts";
import type { Desk } from "./desk.ts";
import { listRows, rowIndex } from "./list-rows.ts";
import type { Press } from "./press.ts";
import { answerKey, pageKey, pickKey, textKey } from "./prompt-keys.ts";

export interface ConsoleParts {
  readonly feed: Feed;
  readonly acts: ConsoleActs;
  /** Session time now. */
  readonly now: () => SessionUs;
  readonly status: () => ConsoleStatus;
  readonly theme: ThemeName;
  readonly quit: () => void;
  readonly ring: () => void;
}

/** Everything that one picture is made of; the same object until something changed. */
export interface Snapshot {
  readonly summary: Summary;
  readonly now: SessionUs;
  readonly status: ConsoleStatus;
  readonly state: ConsoleState;
  /** What changed in a time that was shown; null: nothing lately. */
  readonly news: string | null;
}

export interface Controller {
  /** @param atMs - arrival of the key, ms of the laptop's monotonic clock */
  readonly press: (key: Key, atMs: number) => void;
  /** Says how far the page shown can be scrolled, rows; the picture knows. */
  readonly limitPage: (last: number) => void;
  /** Says how many rows the alerts have; the picture knows. */
  readonly limitAlerts: (rows: number) => void;
  /** Once a second: the clock, running times, alerts. */
  readonly tick: () => void;
  readonly snapshot: () => Snapshot;
  readonly subscribe: (listener: () => void) => () => void;
  /** Stops following the feed. */
  readonly end: () => void;
}

/** The console's life, from opening to quitting. */
export function createController(parts: ConsoleParts): Controller {
  const { feed, acts } = parts;
  const listeners = new Set<() => void>();
  let state = firstState(parts.theme);
  const newsOf = createChangeNews();
  let current = look();
  let lastPress: LastPress | undefined;

  function look(): Snapshot {
    const summary = feed.summary();
    const now = parts.now();
    const status = parts.status();
    const alerts = rememberAlerts(state.alerts, alertsNow(summary, now, status));
    const isDoubt = state.bell === "doubt" && hasUnseenAlerts(alerts);
    if (isDoubt && !hasUnseenAlerts(state.alerts)) parts.ring();
    state = { ...state, alerts };
    return { summary, now, status, state, news: newsOf(summary, now) };
  }
  function refresh(): void {
    const before = current.summary;
    current = look();
    const finished = current.summary.lastFinished?.runId;
    if (state.bell === "finish" && finished !== before.lastFinished?.runId) parts.ring();
    for (const listener of [...listeners]) listener();
  }

  function leave(): void {
    desk.say({ ok: true, text: "left as it is" });
  }

  const desk: Desk = {
    acts,
    summary: () => feed.summary(),
    now: parts.now,
    status: parts.status,
    state: () => state,
    change(part) {
      state = { ...state, ...part };
    },
    say(said) {
      state = { ...state, said };
    },
    refuse(text) {
      state = { ...state, said: { ok: false, text } };
    },
    pick(title, items, ifNone, selected = 0) {
      if (items.length === 0) desk.refuse(ifNone);
      else state = { ...state, mode: "PICK", pick: { title, items, selected } };
    },
    type(label, accept, initial = "") {
      state = { ...state, mode: "TEXT", text: { label, value: initial, complaint: null, accept } };
    },
    ask(text, yes, no = leave) {
      state = { ...state, mode: "CONFIRM", question: { text, yes, no } };
    },
    selectedRow() {
      if (state.home !== "SCROLL") return undefined;
      const rows = listRows(feed.summary());
      return rows[rowIndex(rows, state.selected) ?? -1];
    },
    quit: parts.quit,
  };

  function counts(key: Key, command: Command, atMs: number): boolean {
    const press = { key: key.type === "paste" ? "" : keyName(key), atMs };
    const isNew = pressCounts(lastPress, press);
    lastPress = press;
    return isNew || !command.writes;
  }
  function obey(command: Command, press: Press): void {
    if (command.id === "quit" && state.mode !== "LIVE" && state.mode !== "SCROLL") {
      parts.quit();
      return;
    }
    switch (state.mode) {
      case "PICK":
        pickKey(desk, command, press);
        break;
      case "TEXT":
        textKey(desk, command);
        break;
      case "CONFIRM":
        answerKey(desk, command);
        break;
      case "HELP":
      case "EMERGENCY":
        if (!pageKey(desk, command)) runCommand(command.id, desk, press);
        break;
      case "LIVE":
      case "SCROLL":
      case "START": // no mode of the console's own
        runCommand(command.id, desk, press);
        break;
    }
  }

  const unsubscribe = feed.subscribe(refresh);
  return {
    press(key, atMs) {
      const command = commandFor(state.mode, key);
      if (command === undefined) {
        if (state.text === null || key.type === "named") return;
        textKey(desk, key.text);
      } else {
        if (!counts(key, command, atMs)) return;
        obey(command, { digit: command.digit, keyedAt: hostUs(Math.round(atMs * 1000)) });
      }
      refresh();
    },
    limitPage(last) {
      if (state.pageTop > last) state = { ...state, pageTop: last };
    },
    limitAlerts(rows) {
      if (state.alertRows !== rows) state = { ...state, alertRows: rows };
    },
    tick: refresh,
    snapshot: () => current,
    subscribe(listener) {
      listeners.add(listener);
      return () => {
        listeners.delete(listener);
      };
    },
    end: unsubscribe,
  };
}

/** The session's alerts and the program's notices. */
function alertsNow(summary: Summary, now: SessionUs, status: ConsoleStatus): readonly Alert[] {
  const { zone } = summary.settings;
  const texts = [...status.notices, ...earlierEndWords(summary, status)];
  const notices = texts.map((text): Alert => ({ level: "notice", text }));
  return [...alertsAt(summary, now, (at) => clockTime(at, zone)), ...notices];
}

/**
 * The end that the time left suggests; the reason for the next set-up says it late, and at the end of
 * a line that a narrow screen cuts. Nothing while the standing is hidden: an end is proposed only as
 * long as nothing is decided.
 */
function earlierEndWords(summary: Summary, status: ConsoleStatus): readonly string[] {
  const { earlierEnd, isClosed } = summary;
  if (earlierEnd === null || isClosed || status.isBlind) return [];
  const { rider, runsLeft, endRun } = earlierEnd;
  const time = `time for ${String(runsLeft)} more ${runsLeft === 1 ? "run" : "runs"}`;
  const end = `end the plan at run ${String(endRun)}?`;
  const whose = summary.riders.length > 1 ? `${riderName(summary, rider)}: ` : "";
  return [`${whose}${time}: ${end} In the list (a): earlier end`];
}
