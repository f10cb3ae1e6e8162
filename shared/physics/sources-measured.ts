import type { Source } from './source.ts';

/** Sources of the formulas for measured runs: the air in the room, and the correction of power. */
export const measuredSources = {
  'sonntag-1990': {
    author: 'D. Sonntag',
    title: 'Important new values of the physical constants of 1986, vapour pressure formulations',
    year: 1990,
    where: 'saturation vapour pressure over water',
    kind: 'from memory',
    note: 'within 2e-4 of IAPWS R7-97 from 0 to 60 °C, which was recomputed',
  },
  'sae-j1349': {
    author: 'SAE J1349',
    title: 'Engine Power Test Code, Spark Ignition and Compression Ignition, Net Power Rating',
    year: 1990,
    where: 'correction formula for spark-ignition engines',
    kind: 'published',
    note: 'read as quoted in passionford.com post 6282141; it takes 85 % mechanical efficiency; the later text itself was not at hand',
  },
  'iso-1585': {
    author: 'ISO 1585',
    title: 'Road vehicles: Engine test code, Net power',
    year: 1992,
    where: 'correction factor for spark-ignition engines, valid from 0.93 to 1.07',
    kind: 'from memory',
    note: 'the exponents repeat a published example of ISO 3046 (Mathur and Sharma, example 27.5)',
  },
  'un-r85': {
    author: 'UN Regulation No. 85, proposal GRPE-70-02, after Regulation (EU) No 136/2014, annex XX',
    title: 'Net power of engines',
    year: 2014,
    where: 'correction factors of engines whose charging compensates for ambient temperature and altitude',
    kind: 'published',
    note: 'the proposal was read; that the adopted text sets the factor to 1 is from memory',
  },
  'lambda-sensor-lag': {
    title: 'Lag of a wide-range lambda sensor, 60 ms',
    kind: 'common practice',
    note: 'values from 50 to 100 ms are in use; transport through the exhaust pipe is left out, so a measured delay is better',
  },
} as const satisfies Record<string, Source>;
