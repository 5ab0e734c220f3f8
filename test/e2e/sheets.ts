// Session sheets of invented days whose runs take a few seconds; used by the end-to-end tests.

const SETUPS = `
[[setups]]
id = "A"
name = "No insert"
baseline = true
[setups.values]
rear_insert = "none"
rear_pressure_bar = 1.6
[[setups]]
id = "B"
name = "Foam insert"
from = "A"
[setups.values]
rear_insert = "foam"
`;

const RIDER = `
[[riders]]
id = "R1"
name = "Rider one"
`;

function session(more: string): string {
  return `
[session]
name = "Foam insert in the rear tyre"
date = 2026-05-09
zone = "Europe/Vienna"
stretch = "Hollow oak"
expected_run_s = 4
margin_s = 0.2
drift = "none"
seed = 7
${more}
`;
}

/** Boxes S1, P1, F1 and eight planned runs of one rider. */
export const GATES_SHEET = `${session("planned_runs = 8")}
[[gates]]
role = "start"
box = "S1"
[[gates]]
role = "split"
box = "P1"
sector = "Roots"
[[gates]]
role = "finish"
box = "F1"
sector = "Gully"
${RIDER}${SETUPS}`;

/** No gates, two riders. */
export const HAND_SHEET = `${session('bands = "open"')}
${RIDER}
[[riders]]
id = "R2"
name = "Rider two"
${SETUPS}`;

/** No gates; grip is asked about before the time is shown. */
export const FEEL_SHEET = `${session('planned_runs = 8\naspects = ["grip"]')}${RIDER}${SETUPS}`;

/** No gates; the rear pressure is explored by six runs, 1.75 bar at present. */
export const EXPLORE_SHEET = `
[session]
name = "Rear pressure"
date = 2026-05-09
zone = "Europe/Vienna"
stretch = "Hollow oak"
expected_run_s = 2
planned_runs = 6
drift = "none"
seed = 7
${RIDER}
[[setups]]
id = "A"
name = "As it is"
baseline = true
[setups.values]
rear_pressure_bar = 1.75
[[settings]]
key = "rear_pressure_bar"
low = 1.3
high = 1.9
step = 0.05
`;

/** Eight hand-timed runs on which B is plainly quicker. */
export const HAND_TIMES = `setup,rider,time_s,uncertainty_s
A,R1,3.9,0.2
B,R1,3.1,0.2
B,R1,3.0,0.2
A,R1,3.8,0.2
A,R1,4.0,0.2
B,R1,3.2,0.2
B,R1,3.1,0.2
A,R1,3.9,0.2
`;
