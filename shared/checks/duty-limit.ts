import type { EngineSubject } from './check.ts';

/** The duty that the file allows its injectors, or the threshold where it states none. */
export const dutyLimit = (subject: EngineSubject, threshold: number): number =>
  subject.installation.configuration.fuel?.injectors?.maximum_duty?.canonical ?? threshold;
