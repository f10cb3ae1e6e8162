import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { fileKind } from '../../shared/configuration/project.ts';

/** The folder of the samples, with `/` at its end. */
export const SAMPLES = fileURLToPath(new URL('../../samples/', import.meta.url)).replaceAll('\\', '/');

/** The engine and controller files among the samples, as `dotterel/dotterel-16t.engine.yaml`. */
export const sampleNames: readonly string[] = readdirSync(SAMPLES, { recursive: true, encoding: 'utf8' })
  .map((name) => name.replaceAll('\\', '/'))
  .filter(fileKind)
  .sort();

export const sampleText = (name: string): string => readFileSync(SAMPLES + name, 'utf8');
