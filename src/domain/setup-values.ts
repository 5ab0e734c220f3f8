// What a line of a set-up sheet is measured in: read off its key, because keys carry their unit.
// Used by the sheet to refuse text where a number belongs and by the summary to fill in units.

/** Endings of keys and the unit they stand for; longer endings first. */
const unitOfEnding: readonly (readonly [ending: string, unit: string])[] = [
  ["_lbf_per_in", "lbf/in"],
  ["_n_per_mm", "N/mm"],
  ["_percent", "%"],
  ["_clicks", "clicks"],
  ["_turns", "turns"],
  ["_bar", "bar"],
  ["_psi", "psi"],
  ["_deg", "deg"],
  ["_mm", "mm"],
  ["_ml", "ml"],
  ["_kg", "kg"],
  ["_g", "g"],
];

const numberKeys: ReadonlySet<string> = new Set([
  "front_wheel_mm",
  "rear_wheel_mm",
  "front_rim_mm",
  "rear_rim_mm",
  "front_tyre_mm",
  "rear_tyre_mm",
  "front_pressure_bar",
  "rear_pressure_bar",
  "front_pressure_psi",
  "rear_pressure_psi",
  "front_sealant_ml",
  "rear_sealant_ml",
  "front_wheel_g",
  "rear_wheel_g",
  "fork_travel_mm",
  "fork_pressure_psi",
  "fork_pressure_bar",
  "fork_spring_n_per_mm",
  "fork_spring_lbf_per_in",
  "fork_preload_turns",
  "fork_volume_spacers",
  "fork_sag_percent",
  "fork_rebound_clicks",
  "fork_low_speed_rebound_clicks",
  "fork_high_speed_rebound_clicks",
  "fork_compression_clicks",
  "fork_low_speed_compression_clicks",
  "fork_high_speed_compression_clicks",
  "fork_offset_mm",
  "fork_axle_to_crown_mm",
  "rear_travel_mm",
  "shock_stroke_mm",
  "shock_pressure_psi",
  "shock_pressure_bar",
  "shock_spring_n_per_mm",
  "shock_spring_lbf_per_in",
  "shock_preload_turns",
  "shock_volume_spacers",
  "shock_sag_percent",
  "shock_rebound_clicks",
  "shock_low_speed_rebound_clicks",
  "shock_high_speed_rebound_clicks",
  "shock_compression_clicks",
  "shock_low_speed_compression_clicks",
  "shock_high_speed_compression_clicks",
  "bar_width_mm",
  "bar_rise_mm",
  "bar_roll_deg",
  "stem_mm",
  "stem_spacers_mm",
  "crank_mm",
  "front_rotor_mm",
  "rear_rotor_mm",
  "saddle_height_mm",
  "saddle_tilt_deg",
  "head_angle_deg",
  "seat_angle_deg",
  "reach_mm",
  "stack_mm",
  "chainstay_mm",
  "bb_height_mm",
  "wheelbase_mm",
  "bike_kg",
  "rider_kg",
]);

/**
 * The unit that a key of a set-up sheet carries in its name.
 *
 * @returns as it is written on the screen (`bar`, `mm`, `clicks`), or null if the name holds none
 */
export function unitOfValue(key: string): string | null {
  return unitOfEnding.find(([ending]) => key.endsWith(ending))?.[1] ?? null;
}

/** True for the keys whose value can only be a number; any other key may hold free text. */
export function isNumberValue(key: string): boolean {
  return numberKeys.has(key);
}
