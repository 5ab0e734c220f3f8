// Mistakes in the gates, riders, set-ups and swaps of a sheet: the message for each.
import { describe, expect, test } from "vitest";
import { afterSetups, type MistakeCase, sheetMistake, withGates } from "./sheet-mistake.ts";

const cases: readonly MistakeCase[] = [
  [
    "one gate",
    withGates('role = "start"'),
    "7: found one gate only, want a start and a finish (one box may serve both), or no gates at all",
  ],
  [
    "finish first",
    withGates('role = "finish"', 'role = "finish"'),
    '8: found role = "finish" on the first gate, want "start" there: gates stand in riding order',
  ],
  [
    "a split last",
    withGates('role = "start"', 'role = "split"'),
    '10: found role = "split" on the last gate, want "finish" there: gates stand in riding order',
  ],
  [
    "a finish in the middle",
    withGates('role = "start"', 'role = "finish"', 'role = "finish"'),
    '10: found role = "finish" on the middle gate, want "split" there: gates stand in riding order',
  ],
  [
    "a gate without a role",
    withGates('role = "start"', 'box = "F1"'),
    '9: found [[gates]] without role, want role = "finish"',
  ],
  [
    "another role",
    withGates('role = "start"', 'role = "end"'),
    '10: found role = "end", want "start", "split" or "finish"',
  ],
  [
    "a box in small letters",
    withGates('role = "start"\nbox = "s1"', 'role = "finish"'),
    '9: found box = "s1", want 1 to 4 digits or capital letters in quotes',
  ],
  [
    "one box for two places",
    withGates('role = "start"\nbox = "S1"', 'role = "split"\nbox = "S1"', 'role = "finish"'),
    '12: found box = "S1" at a second gate, want a box for each gate; only start and finish may share one',
  ],
  [
    "a sector that ends at the start",
    withGates('role = "start"\nsector = "Roots"', 'role = "finish"'),
    "9: found sector on the first gate, want it on the gate at which the sector ends",
  ],
  [
    "a rider without an id",
    afterSetups('[[riders]]\nname = "x"'),
    '7: found [[riders]] without id, want id = "R1" (1 to 16 letters, digits, - or _ in quotes)',
  ],
  [
    "an id with a blank",
    afterSetups('[[riders]]\nid = "R 1"'),
    '8: found id = "R 1", want 1 to 16 letters, digits, - or _ in quotes',
  ],
  [
    "an id twice",
    afterSetups('[[riders]]\nid = "R1"\n[[riders]]\nid = "R1"'),
    '10: found id = "R1" a second time, want an id of its own',
  ],
  [
    "a tag twice",
    afterSetups('[[riders]]\nid = "R1"\ntag = "AA"\n[[riders]]\nid = "R2"\ntag = "AA"'),
    '12: found tag = "AA" a second time, want a transponder for each rider',
  ],
  [
    "a tag too long",
    afterSetups('[[riders]]\nid = "R1"\ntag = "A1B2C3D4E"'),
    '9: found tag = "A1B2C3D4E", want 1 to 8 digits or capital letters in quotes, as the transponder says',
  ],
  [
    "new to nothing known",
    afterSetups('[[riders]]\nid = "R1"\nnew_to = ["B", "C"]'),
    '9: found "C" in new_to, want the id of a set-up: A or B',
  ],
  [
    "new to, not a list",
    afterSetups('[[riders]]\nid = "R1"\nnew_to = "B"'),
    '9: found new_to = "B", want a list of ids of set-ups, as ["B"]',
  ],
  [
    "no riders at all",
    `riders = []\n${afterSetups("")}`,
    "1: found an empty list of riders, want one rider at least, or the key left out",
  ],
  [
    "one set-up",
    '[session]\nname = "x"\n[[setups]]\nid = "A"\n',
    "3: found one [[setups]] only, want at least two [[setups]]: a baseline and one to compare with it",
  ],
  [
    "no set-ups",
    '[session]\nname = "x"\n',
    "1: found no [[setups]], want at least two [[setups]]: a baseline and one to compare with it",
  ],
  [
    "two baselines",
    afterSetups("").replaceAll(/id = "(.)"/g, 'id = "$1"\nbaseline = true'),
    "8: found baseline = true on B, as on A, want one baseline",
  ],
  [
    "a baseline in words",
    afterSetups('baseline = "yes"'),
    '7: found baseline = "yes", want true or false',
  ],
  [
    "a copy of itself",
    afterSetups('from = "B"'),
    "7: found a copy that goes round in a circle: B from B, want one of them without from",
  ],
  [
    "a copy of nothing",
    afterSetups('from = "C"'),
    '7: found from = "C", want the id of a set-up: A',
  ],
  [
    "a copy of a number",
    afterSetups("from = 1"),
    "7: found from = 1, want the id of another set-up in quotes",
  ],
  [
    "a pressure in words",
    afterSetups('[setups.values]\nrear_pressure_bar = "1.6"'),
    '8: found rear_pressure_bar = "1.6", want a number in bar, 0 or more',
  ],
  [
    "a pressure below 0",
    afterSetups("[setups.values]\nrear_pressure_bar = -1"),
    "8: found rear_pressure_bar = -1, want a number in bar, 0 or more",
  ],
  [
    "a list as a value",
    afterSetups("[setups.values]\nnote = [1]"),
    "8: found note = a list, want text in quotes, a number, true or false",
  ],
  [
    "ESC in a value",
    afterSetups('[setups.values]\nnote = "\\u001b"'),
    '8: found note = "\\u001b", want text without control characters (tab, new line, escape)',
  ],
  [
    "ESC in a key",
    afterSetups('[setups.values]\n"\\u001b" = 1'),
    '8: found the key "\\u001b", want 1 to 60 characters without control characters',
  ],
  [
    "a swap to itself",
    afterSetups('[[swaps]]\nfrom = "A"\nto = "A"\nminutes = 1'),
    "9: found a swap from A to A, want two different set-ups",
  ],
  [
    "a swap to nothing",
    afterSetups('[[swaps]]\nfrom = "A"\nto = "X"\nminutes = 1'),
    '9: found to = "X", want the id of a set-up: A or B',
  ],
  [
    "a swap in no time given",
    afterSetups('[[swaps]]\nfrom = "A"\nto = "B"'),
    "7: found [[swaps]] without minutes, want minutes = ... (what the change takes)",
  ],
  [
    "a swap before it began",
    afterSetups('[[swaps]]\nfrom = "A"\nto = "B"\nminutes = -1'),
    "10: found minutes = -1, want a number of minutes from 0 to 14400",
  ],
  [
    "a swap twice",
    afterSetups(
      '[[swaps]]\nfrom = "A"\nto = "B"\nminutes = 1\n[[swaps]]\nfrom = "A"\nto = "B"\nminutes = 2',
    ),
    "11: found a second swap from A to B, want one [[swaps]] for each direction",
  ],
  [
    "a hundred gates",
    withGates(
      'role = "start"',
      ...Array.from({ length: 98 }, () => 'role = "split"'),
      'role = "finish"',
    ),
    "7: found 100 gates, want at most 99",
  ],
  [
    "a negative count without a unit",
    afterSetups("[setups.values]\nfork_volume_spacers = -1"),
    "8: found fork_volume_spacers = -1, want a number, 0 or more",
  ],
  [
    "an angle in words",
    afterSetups('[setups.values]\nsaddle_tilt_deg = "up"'),
    '8: found saddle_tilt_deg = "up", want a number in deg',
  ],
  [
    "a number beyond all size",
    afterSetups("[setups.values]\nluck = 1e300"),
    "8: found luck = 1e+300, want a number of a size that can be kept",
  ],
  [
    "a mistyped id of several letters",
    '[session]\nname = "x"\n[[setups]]\nid = "no-insert"\n[[setups]]\nid = "insert"\nfrom = "no-inesrt"\n',
    '7: found from = "no-inesrt": did you mean no-insert?',
  ],
];

describe("a mistake in the tables of a sheet", () => {
  test.each(cases)("%s", (_what, text, message) => {
    expect(sheetMistake(text).message).toBe(`day.toml:${message}`);
  });

  test("a circle of copies names each member", () => {
    const text = `[session]\nname = "x"\n${["A", "B", "C"]
      .map((id, i) => `[[setups]]\nid = "${id}"\nfrom = "${["B", "A", "A"][i] ?? ""}"\n`)
      .join("")}`;
    expect(sheetMistake(text).message.split("\n")).toEqual([
      "day.toml:5: found a copy that goes round in a circle: A from B from A, want one of them without from",
      "day.toml:8: found a copy that goes round in a circle: B from A from B, want one of them without from",
    ]);
  });
});
