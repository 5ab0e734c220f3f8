// Names of what people report in figures or words, as the journal's measures keep it; anything else
// read on the day has a name of its own (`rear_pressure_bar`).

/** Before run 1: how much quicker (below 0) or slower the rider expects a set-up to be than the baseline, s. */
export const EXPECTED_KEY = "expected_s";
/** After a run: how hard it was, 0 to 10 (Borg's CR10 scale). */
export const EXERTION_KEY = "exertion";
/** The rider was asked whether to go on, and does; the value says what was asked about. */
export const RIDES_ON_KEY = "rides_on";
/** The bike was checked after a crash, point by point. */
export const BIKE_CHECKED_KEY = "bike_checked";
/** A knock to the head: no more riding that day. */
export const HEAD_KNOCK_KEY = "head_knock";
/** What was on the bike is what was logged: looked at, and said for a run; the value is the set-up. */
export const SETUP_CONFIRMED_KEY = "setup_confirmed";
