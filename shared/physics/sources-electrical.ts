import type { Source } from './source.ts';

const alexander = {
  author: 'C. K. Alexander and M. N. O. Sadiku',
  title: 'Fundamentals of Electric Circuits',
  kind: 'from memory',
} as const;

const davis = {
  author: 'Davis, Burns, Bril and Lukkien, Real-Time Systems 35',
  title: 'Controller Area Network (CAN) schedulability analysis: Refuted, revisited and revised',
  year: 2007,
  kind: 'from memory',
} as const;

/** Where the formulas of sensors, wiring and bus come from: one part of the list in `sources.ts`. */
export const electricalSources = {
  'alexander-sec-2.2': { ...alexander, where: 'section 2.2, Ohm’s law, resistivity and power of a resistor' },
  'alexander-sec-2.5': { ...alexander, where: 'section 2.5, series resistors and voltage division' },
  'alexander-sec-2.6': { ...alexander, where: 'section 2.6, parallel resistors' },
  'nist-monograph-175': {
    author: 'NIST Monograph 175 (Burns, Scroger, Strouse, Croarkin and Guthrie)',
    title: 'Temperature-EMF Reference Functions and Tables for the Letter-Designated Thermocouple Types',
    year: 1993,
    where: 'reference function of the type, on ITS-90',
    kind: 'published',
    note: 'read in its machine-readable edition, NIST SRD 60; same functions as IEC 60584-1 and ASTM E230',
  },
  'steinhart-hart': {
    author: 'J. S. Steinhart and S. R. Hart, Deep-Sea Research 15',
    title: 'Calibration curves for thermistors',
    year: 1968,
    where: 'the equation 1/T = A + B·ln R + C·(ln R)³, pages 497 to 503',
    kind: 'from memory',
  },
  'iec-60539-1': {
    author: 'IEC 60539-1',
    title: 'Directly heated negative temperature coefficient thermistors, generic specification',
    where: 'definition of the B-value',
    kind: 'from memory',
    note: 'one B-value holds over a few tens of kelvin, not over the whole range',
  },
  'iec-60751': {
    author: 'IEC 60751',
    title: 'Industrial platinum resistance thermometers and platinum temperature sensors',
    year: 2022,
    where: 'relation of resistance to temperature, 3.851e-3 per kelvin from 0 to 100 °C',
    kind: 'published',
    note: 'read in reprints by sensor makers; the 1983 edition differs by 0.01 ohm at 100 °C',
  },
  'astm-b258': {
    author: 'ASTM B258',
    title: 'Standard Nominal Diameters and Cross-Sectional Areas of AWG Sizes of Solid Round Wires',
    where: 'definition of the gauge: 0.005 in at 36, 0.46 in at 0000, 39 equal ratios in between',
    kind: 'from memory',
    note: 'agrees with the wire gauge in GNU units 2.22 to within 1e-10',
  },
  'iacs-copper': {
    author: 'NBS Handbook 100',
    title: 'Copper Wire Tables (international annealed copper standard)',
    year: 1966,
    where: '1/58 ohm mm²/m at 20 °C, 0.00393 per kelvin',
    kind: 'from memory',
    note: 'the coefficient agrees to 0.01 % with the 234.5 °C rule of FAA AC 43.13-1B, which was read',
  },
  'faa-ac-43.13-1b-table-11-3': {
    author: 'FAA AC 43.13-1B, change 1',
    title: 'Acceptable Methods, Techniques, and Practices: Aircraft Inspection and Repair',
    year: 2001,
    where: 'table 11-3, circuit breaker and fuse for each wire gauge',
    kind: 'published',
  },
  'iso-11898-1': {
    author: 'ISO 11898-1',
    title: 'Road vehicles: Controller area network, data link layer',
    year: 2015,
    where: 'format of classic base and extended frames',
    kind: 'from memory',
    note: 'lengths of whole frames agree with canframelen.c of can-utils',
  },
  'davis-2007-eq-1': {
    ...davis,
    where: 'equation 1, longest transmission time of a frame',
    note: 'the tests check the stuffing bound against all bit patterns',
  },
  'davis-2007-sec-3': {
    ...davis,
    where: 'section 3, worst-case response time',
    note: 'the tests check it against a simulated bus',
  },
  'toothed-wheel': {
    title: 'Definition of an evenly spaced toothed wheel with a gap; the missing teeth are counted',
    kind: 'definition',
    note: 'the gap is recognised by comparing its duration with that of the tooth interval before it',
  },
  'linear-scaling': {
    title: 'Definition of a straight line through two points and of a converter step',
    kind: 'definition',
    note: 'a converter of n bits has 2ⁿ − 1 steps over its span',
  },
} as const satisfies Record<string, Source>;
