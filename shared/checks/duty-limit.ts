import type { EngineSubject } from './check.ts';

/** The maximum injector duty that the file states; without one, the threshold. */
export const dutyLimit = (subject: EngineSubject, threshold: number): number =>
  subject.installation.configuration.fuel?.injectors?.maximum_duty?.canonical ?? threshold;
