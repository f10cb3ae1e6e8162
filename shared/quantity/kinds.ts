/**
 * What a key's number may be. A dimension says which units fit; a kind says that and, for pressure and
 * temperature, whether the number is a point on a scale or a difference.
 */
export type Dimension =
  | 'number'
  | 'ratio'
  | 'length'
  | 'area'
  | 'volume'
  | 'mass'
  | 'time'
  | 'rotational speed'
  | 'speed'
  | 'temperature'
  | 'pressure'
  | 'voltage'
  | 'current'
  | 'resistance'
  | 'inductance'
  | 'capacitance'
  | 'frequency'
  | 'angle'
  | 'power'
  | 'torque'
  | 'energy'
  | 'density'
  | 'volume flow'
  | 'mass flow'
  | 'specific consumption'
  | 'specific energy'
  | 'data size'
  | 'data rate'
  | 'wire gauge';

/** A pressure is measured from vacuum, from ambient, or is a difference between two pressures. */
export type PressureReference = 'absolute' | 'gauge' | 'difference';

/**
 * Kinds beyond the plain dimensions:
 * - `absolute pressure`, `gauge pressure`: only that reading; `pressure` either of the two; `pressure
 *   difference` bare; `rail pressure` bare (over the manifold) or gauge.
 * - `temperature` is a point (°C, °F, K); `temperature difference` is written in K.
 * - `fuel flow` is by volume or by mass.
 * - `number` is bare; `ratio` is bare or in %; `any` is whatever the place's partner says.
 */
export type Kind =
  | Exclude<Dimension, 'pressure'>
  | 'absolute pressure'
  | 'gauge pressure'
  | 'pressure'
  | 'pressure difference'
  | 'rail pressure'
  | 'temperature difference'
  | 'fuel flow'
  | 'any';
