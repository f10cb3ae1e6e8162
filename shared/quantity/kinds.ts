/**
 * What the number of a key may be. A dimension determines the units that fit; a kind also determines whether a pressure or
 * temperature is a point on a scale or a difference.
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
  | 'angular speed'
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

/** A pressure is relative to vacuum, relative to ambient, or a difference between two pressures. */
export type PressureReference = 'absolute' | 'gauge' | 'difference';

/**
 * Kinds beyond the plain dimensions:
 * - `absolute pressure`, `gauge pressure`: only that reference; `pressure`: either of the two; `pressure difference`:
 *   without a reference; `rail pressure`: without a reference (relative to the manifold) or gauge.
 * - `temperature` is a point (°C, °F, K); `temperature difference` is written in K.
 * - `crank angle` is an angle that may be a number of degrees without a unit.
 * - `fuel flow` is by volume or by mass.
 * - `angle per second` is in deg/s; in plain degrees it is understood as per second.
 * - `number` has no unit; `ratio` has none or %; `any` is determined by another key beside it.
 */
export type Kind =
  | Exclude<Dimension, 'pressure'>
  | 'absolute pressure'
  | 'gauge pressure'
  | 'pressure'
  | 'pressure difference'
  | 'rail pressure'
  | 'temperature difference'
  | 'crank angle'
  | 'fuel flow'
  | 'angle per second'
  | 'any';
