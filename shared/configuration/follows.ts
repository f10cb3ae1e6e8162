/** Other measured quantities from which the controller works one out. */
export const FOLLOWS: Readonly<Record<string, readonly string[]>> = {
  engine_speed: ['crank_position', 'cam_position'],
  pressure_altitude: ['ambient_pressure'],
  ambient_pressure: ['pressure_altitude'],
};
