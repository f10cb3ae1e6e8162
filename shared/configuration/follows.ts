/** For each of these quantities, the measured quantities from which the controller can compute it. */
export const FOLLOWS: Readonly<Record<string, readonly string[]>> = {
  engine_speed: ['crank_position', 'cam_position'],
  propeller_speed: ['engine_speed', 'crank_position', 'cam_position'],
  ambient_temperature: ['intake_air_temperature'],
  pressure_altitude: ['ambient_pressure'],
  ambient_pressure: ['pressure_altitude'],
};
