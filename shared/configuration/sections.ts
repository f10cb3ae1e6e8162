import type { EngineConfiguration } from '../../generated/configuration.ts';
import { tracked } from '../memo.ts';
import { engineShape } from './schemas.ts';

export type SectionName = keyof EngineConfiguration;

/** The sections of an engine file, as the schema lists them. */
export const SECTIONS = [...engineShape.properties.keys()] as readonly SectionName[];

/** What can be read of a file besides its sections. */
export const TEXT = 'the text';

const names: ReadonlySet<string | symbol> = new Set(SECTIONS);

/**
 * A configuration that tracks which of its sections are read. A key that is not a section counts as part of the text.
 */
export const trackedSections = (configuration: EngineConfiguration): EngineConfiguration =>
  tracked(configuration, (key) => (names.has(key) ? String(key) : TEXT), TEXT);
