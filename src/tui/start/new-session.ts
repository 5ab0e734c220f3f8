// The form for a new session: its fields, what each will take, and what comes of it; used by the start menu.

/** What the form says; the cli makes the session file of it. */
export interface NewSession {
  /** Path of the session file, ending in `.swaplap`. */
  readonly file: string;
  readonly stretch: string;
  readonly rider: string;
  /** The baseline's name, then the candidate's. */
  readonly setupA: string;
  readonly setupB: string;
  /** Counted runs of the rider. */
  readonly plannedRuns: number;
  readonly expectedRunS: number;
  /** Smallest difference worth having, s; null: none named. */
  readonly marginS: number | null;
  /** Serial port of the boxes; null: by hand. */
  readonly port: string | null;
}

export interface Field {
  readonly key: keyof NewSession;
  readonly label: string;
  /** What to type, with an example. */
  readonly hint: string;
  readonly initial: string;
  /** Why this will not do, or null. */
  readonly check: (text: string) => string | null;
}

/** What the form needs to know of the world; handed in by the cli. */
export interface FormWorld {
  readonly exists: (file: string) => boolean;
  /** Paths of the serial ports seen, likeliest first. */
  readonly ports: readonly string[];
}

const LONGEST_NAME = 60;
export const FILE_ENDING = ".swaplap";

function name(what: string): Field["check"] {
  return (text) => {
    if (text === "") return `${what} needs a name`;
    return text.length > LONGEST_NAME ? `at most ${String(LONGEST_NAME)} characters` : null;
  };
}

/** The file's name with its ending. */
function fileName(text: string): string {
  return text.endsWith(FILE_ENDING) ? text : text + FILE_ENDING;
}

/**
 * A run time as people type it: `95`, `95.5`, `1:35`.
 *
 * @returns s, above nought; undefined if it is none
 */
export function typedSeconds(text: string): number | undefined {
  const match = /^(?:(\d{1,2}):([0-5]\d)|(\d{1,4}))(?:[.,](\d{1,3}))?$/u.exec(text);
  if (match === null) return undefined;
  const [, minutes, seconds, plain, fraction] = match;
  const whole = plain === undefined ? Number(minutes) * 60 + Number(seconds) : Number(plain);
  const s = whole + Number(`0.${fraction ?? "0"}`);
  return s > 0 ? s : undefined;
}

/** The fields in the order in which they are asked for. */
export function formFields(world: FormWorld): readonly Field[] {
  return [
    {
      key: "file",
      label: "session file",
      hint: "a name for the file, like insert-test",
      initial: "",
      check: (text) => {
        if (text === "" || /[/\\]$/u.test(text)) return "the file needs a name";
        return world.exists(fileName(text)) ? `${fileName(text)} is there already` : null;
      },
    },
    {
      key: "stretch",
      label: "stretch",
      hint: "the piece of trail between start and finish",
      initial: "",
      check: name("the stretch"),
    },
    { key: "rider", label: "rider", hint: "who rides", initial: "", check: name("the rider") },
    {
      key: "setupA",
      label: "set-up A",
      hint: "the baseline: what you ride now",
      initial: "",
      check: name("set-up A"),
    },
    {
      key: "setupB",
      label: "set-up B",
      hint: "what it is compared with",
      initial: "",
      check: name("set-up B"),
    },
    {
      key: "plannedRuns",
      label: "planned runs",
      hint: "counted runs in all, like 12",
      initial: "12",
      check: (text) =>
        /^[1-9]\d{0,2}$/u.test(text) ? null : "a whole number of runs from 1 to 999, like 12",
    },
    {
      key: "expectedRunS",
      label: "expected run time",
      hint: "seconds or m:ss, like 1:35: for overdue riders from the first run on",
      initial: "",
      check: (text) =>
        typedSeconds(text) === undefined ? "a time like 95 or 1:35, above nought" : null,
    },
    {
      key: "marginS",
      label: "worth having",
      hint: "smallest difference worth having, s, like 0.8; empty: not said",
      initial: "",
      check: (text) =>
        text === "" || typedSeconds(text) !== undefined ? null : "seconds like 0.8, or nothing",
    },
    {
      key: "port",
      label: "timing",
      hint:
        world.ports.length === 0
          ? "hand, or the port's path; no port is seen just now"
          : `hand, or the port's path: ${world.ports.join(", ")}`,
      initial: world.ports[0] ?? "hand",
      check: (text) => (text === "" ? "hand, or the path of the boxes' port" : null),
    },
  ];
}

/** The form's answer once every field has passed its check. */
export function newSession(values: Readonly<Record<keyof NewSession, string>>): NewSession {
  const isByHand = values.port.toLowerCase() === "hand";
  return {
    file: fileName(values.file),
    stretch: values.stretch,
    rider: values.rider,
    setupA: values.setupA,
    setupB: values.setupB,
    plannedRuns: Number(values.plannedRuns),
    expectedRunS: typedSeconds(values.expectedRunS) ?? 0,
    marginS: values.marginS === "" ? null : (typedSeconds(values.marginS) ?? null),
    port: isByHand ? null : values.port,
  };
}
