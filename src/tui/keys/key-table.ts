// The one table of every key: what it does in which mode, in words; it also makes the help screen. One
// line a key, so this file alone is not formatted (.biome.jsonc).
import type { CommandId, KeyBinding, KeyGroup, Mode } from "./key-binding.ts";
import type { BoundKey } from "./key-name.ts";

type Options = Partial<Pick<KeyBinding, "writes" | "inActs">>;

function bind(
  group: KeyGroup,
  modes: readonly Mode[],
  keys: readonly BoundKey[],
  command: CommandId,
  name: string,
  help: string,
  options: Options = {},
): KeyBinding {
  return { modes, keys, command, group, name, help, writes: false, inActs: false, ...options };
}

const BOTH: readonly Mode[] = ["LIVE", "SCROLL"];
const ACT: Options = { inActs: true };
const WRITE: Options = { writes: true };
const WRITE_ACT: Options = { writes: true, inActs: true };

/**
 * Every key. A time may have to be keyed at any moment, so the marks mean the same in SCROLL as in
 * LIVE. Left and right alternatives lie on either half of the keyboard; what has none is reached
 * through the list of acts, which has.
 */
export const KEY_BINDINGS: readonly KeyBinding[] = [
  bind("By hand", BOTH, ["space"], "mark", "mark", "time now at the finish; nobody on course: acknowledge the warning", WRITE),
  bind("By hand", BOTH, ["s", "i"], "mark-start", "start", "the waiting rider starts now", WRITE_ACT),
  bind("By hand", BOTH, ["d", "o"], "mark-split", "split", "a rider passes the next split gate now", WRITE_ACT),
  bind("By hand", BOTH, ["f", "p"], "mark-finish", "finish", "a rider finishes now", WRITE_ACT),

  bind("Set-ups and riders", ["LIVE"], ["enter", "g"], "accept-suggestion", "accept", "fit what is suggested: log the swap", WRITE_ACT),
  bind("Set-ups and riders", ["LIVE"], ["1-9"], "choose-setup", "set-up", "this set-up is now on the waiting rider's bike", WRITE),
  bind("Set-ups and riders", ["LIVE"], ["b", "m"], "list-setups", "set-ups", "choose the waiting rider's set-up from a list", ACT),
  bind("Set-ups and riders", ["LIVE"], ["r", "right"], "next-rider", "rider", "the next waiting rider"),
  bind("Set-ups and riders", ["LIVE"], ["left"], "previous-rider", "rider before", "the waiting rider before"),
  bind("Set-ups and riders", ["LIVE"], [], "list-riders", "riders", "choose the waiting rider from a list", ACT),
  bind("Set-ups and riders", ["LIVE"], [], "add-setup", "add a set-up", "one more set-up to compare; it starts as a copy of another", ACT),
  bind("Set-ups and riders", ["LIVE"], [], "add-rider", "add a rider", "one more rider on the sheet", ACT),
  bind("Set-ups and riders", ["LIVE"], [], "change-setup", "change a set-up's sheet", "lines of a set-up, key = value, and its name", ACT),

  bind("Runs and passings", ["LIVE"], ["backspace", "x"], "void-last", "void", "void the last run at once; then say why", WRITE_ACT),
  bind("Runs and passings", ["SCROLL"], ["backspace", "x"], "strike-out", "void", "void this run, then say why; a passing: not a bike", WRITE),
  bind("Runs and passings", ["SCROLL"], ["c"], "count-again", "count", "count this run after all; a passing: it was a bike", WRITE),
  bind("Runs and passings", BOTH, ["w"], "toggle-warm-up", "warm-up", "the last run (SCROLL: this run) is a warm-up, or is none", WRITE_ACT),
  bind("Runs and passings", BOTH, ["0"], "mark-dnf", "DNF", "did not finish: the rider longest on course, or this run", WRITE_ACT),
  bind("Runs and passings", ["SCROLL"], ["1-9"], "correct-setup", "set-up", "this run was ridden on that set-up", WRITE),
  bind("Runs and passings", ["SCROLL"], ["b", "m"], "list-setups-for-run", "set-ups", "choose this run's set-up from a list"),
  bind("Runs and passings", ["SCROLL"], ["r", "right"], "assign-rider", "rider", "say whose this run or passing is"),
  bind("Runs and passings", BOTH, ["t"], "note-incident", "incident", "mistake, near miss, crash, puncture, held up ...: the run still counts", ACT),
  bind("Runs and passings", BOTH, ["y"], "rate-feel", "feel", "answer how the run felt, also later; a question to the rider", ACT),
  bind("Runs and passings", BOTH, [], "note-exertion", "exertion", "how hard the run was, 0 to 10", ACT),
  bind("Runs and passings", BOTH, [], "confirm-setup", "set-up is right", "looked at the bike: the run was on the set-up that is entered", ACT),
  bind("Runs and passings", BOTH, [], "note-head-knock", "knock to the head", "the rider stops for the day and sees a doctor", ACT),
  bind("Runs and passings", BOTH, [], "check-bike", "bike checked", "after a crash: the check list, point by point", ACT),
  bind("Runs and passings", BOTH, ["n"], "write-note", "note", "write a note (SCROLL: about this run)", ACT),
  bind("Runs and passings", BOTH, ["u"], "undo", "undo", "take back the last act; no time limit", WRITE_ACT),
  bind("Runs and passings", BOTH, ["v"], "redo", "redo", "take back the undo", WRITE_ACT),

  bind("Course and day", BOTH, ["h"], "hold-course", "hold", "hold the course, or open it again", WRITE_ACT),
  bind("Course and day", BOTH, ["e"], "show-emergency", "emergency", "who is on course, where, since when; what to tell the rescuers", ACT),
  bind("Course and day", ["LIVE"], [], "announce-end", "earlier end", "announce, once, that the plan ends earlier", ACT),
  bind("Course and day", ["LIVE"], [], "set-margin", "worth having", "change the smallest difference worth having: shown as changed", ACT),
  bind("Course and day", ["LIVE"], [], "ask-expectation", "expectation", "before run 1: which set-up will be quicker, and by how much", ACT),
  bind("Course and day", ["LIVE"], [], "set-drift", "trend", "before run 1: none, linear, or learning", ACT),
  bind("Course and day", ["LIVE"], [], "ride-value", "another value", "exploring: another value of the setting goes on the bike", ACT),
  bind("Course and day", ["LIVE"], [], "begin-check", "closing check", "exploring is over: the value found against the present one", ACT),
  bind("Course and day", ["LIVE"], [], "mark-condition", "conditions", "new conditions, and whether the ground changed", ACT),
  bind("Course and day", ["LIVE"], [], "mark-gate-moved", "gate moved", "gate moved, re-aimed or replaced: a step", ACT),
  bind("Course and day", ["LIVE"], [], "check-gates", "gate check", "walk through each beam and see it here: link, beam, battery, clock", ACT),
  bind("Course and day", ["LIVE"], [], "strike-gate-check", "strike out the gate check", "what walking through the beams left behind", ACT),
  bind("Course and day", ["LIVE"], [], "insert-passing", "put a passing in", "nothing saw it: gate, time of day, rider", ACT),
  bind("Course and day", ["LIVE"], [], "close-session", "close session", "end the session, once everyone is accounted for", ACT),

  bind("Finding your way", BOTH, ["up", "k", "z"], "scroll-up", "up", "look back through the runs"),
  bind("Finding your way", BOTH, ["down", "j"], "scroll-down", "down", "towards the newest run"),
  bind("Finding your way", BOTH, ["page-up"], "page-up", "page up", "a page back"),
  bind("Finding your way", BOTH, ["page-down"], "page-down", "page down", "a page on"),
  bind("Finding your way", BOTH, ["a", "l"], "list-acts", "all acts", "everything that can be done, as a list"),
  bind("Finding your way", ["SCROLL"], ["enter", "g"], "open-row", "this row", "everything that can be done with this run or passing"),
  bind("Finding your way", ["SCROLL"], ["escape", "left"], "back", "back", "back to the newest run"),
  bind("Finding your way", BOTH, ["?", "/"], "show-help", "help", "this page", ACT),
  bind("Finding your way", ["LIVE"], ["c"], "show-comparison", "comparison", "all that can be said so far: every pair, sectors, riders, remarks", ACT),
  bind("Finding your way", ["LIVE"], ["tab"], "show-plan", "plan", "the plan of the day, and what if: Tab goes on to the other pages", ACT),
  bind("Finding your way", ["LIVE"], [], "show-call-up", "call-up", "who starts next, on which bike and wheels, not before when", ACT),
  bind("Finding your way", ["LIVE"], [], "show-exploring", "exploring", "the setting that is explored: its curve so far", ACT),
  bind("Finding your way", ["HELP"], ["tab"], "next-page", "next page", "plan, gate check, call-up, exploring, comparison, boxes, keys"),
  bind("Finding your way", [...BOTH, "HELP"], [], "show-boxes", "boxes", "the gates' boxes: link, battery, clock", ACT),
  bind("Finding your way", ["HELP"], ["b"], "toggle-bell", "bell", "bell: off, on a finish, on a doubt", ACT),
  bind("Finding your way", ["HELP"], ["t"], "next-theme", "theme", "colours: dark, sun, none", ACT),
  bind("Finding your way", ["HELP", "EMERGENCY"], ["up", "k"], "scroll-up", "up", "up the page"),
  bind("Finding your way", ["HELP", "EMERGENCY"], ["down", "j", "space"], "scroll-down", "down", "down the page"),
  bind("Finding your way", ["HELP", "EMERGENCY"], ["escape", "q", "enter"], "back", "back", "back to the runs"),
  bind("Finding your way", BOTH, ["q", "ctrl-c"], "quit", "quit", "leave the console; the session stays as it is", ACT),
  bind("Finding your way", ["PICK", "TEXT", "CONFIRM", "HELP", "EMERGENCY"], ["ctrl-c"], "quit", "quit", "leave the console from anywhere"),

  bind("In the plan", ["HELP"], ["right", "+"], "plan-more-runs", "more runs", "what if there were more runs"),
  bind("In the plan", ["HELP"], ["left", "-"], "plan-fewer-runs", "fewer runs", "what if there were fewer"),
  bind("In the plan", ["HELP"], ["1-9"], "plan-setup", "set-up in, out", "what if this set-up were left out; again: in"),
  bind("In the plan", ["HELP"], [","], "plan-quicker-swap", "quicker swap", "what if each swap took a minute less"),
  bind("In the plan", ["HELP"], ["."], "plan-slower-swap", "slower swap", "what if each swap took a minute more"),
  bind("In the plan", ["HELP"], ["0"], "plan-as-it-is", "as planned", "the plan as it is"),

  bind("In a list", ["PICK"], ["1-9"], "pick-number", "number", "take the line with this number"),
  bind("In a list", ["PICK"], ["up", "k", "w"], "scroll-up", "up", "the line above"),
  bind("In a list", ["PICK"], ["down", "j", "s"], "scroll-down", "down", "the line below"),
  bind("In a list", ["PICK"], ["enter", "space", "d"], "pick-selected", "take", "take the line marked >"),
  bind("In a list", ["PICK"], ["0"], "pick-later", "later", "answer later"),
  bind("In a list", ["PICK"], ["escape", "backspace", "q"], "back", "back", "leave the list, nothing is done"),

  bind("In a question", ["CONFIRM"], ["y", "1"], "answer-yes", "yes", "do it", WRITE),
  bind("In a question", ["CONFIRM"], ["n", "0", "enter", "escape", "backspace"], "answer-no", "no", "leave it"),

  bind("In a text", ["TEXT"], ["enter"], "text-accept", "done", "keep the text"),
  bind("In a text", ["TEXT"], ["backspace"], "text-delete", "delete", "the last character goes"),
  bind("In a text", ["TEXT"], ["up"], "field-before", "field before", "in a form: the field before"),
  bind("In a text", ["TEXT"], ["escape"], "back", "back", "leave the text, nothing is kept"),

  bind("Without a session", ["START"], ["p", "space"], "start-practice", "practise", "practise on a simulated hill"),
  bind("Without a session", ["START"], ["n", "b"], "start-new", "new", "make a new session"),
  bind("Without a session", ["START"], ["o", "e"], "start-open", "open", "open a session"),
  bind("Without a session", ["START"], ["q", "escape", "ctrl-c"], "quit", "quit", "leave the program"),
];
