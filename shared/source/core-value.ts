import { isScalar, Schema } from 'yaml';
import type { ScalarNode } from './tree.ts';

/** So short a number is exact however it is read. */
const SHORT_NUMBER = /^-?\d{1,9}(?:\.\d{1,6})?$/;
/** Letters that neither `null`, `true` nor `false` begins with. */
const OPENS_NO_KEYWORD = /^[A-EG-MO-SU-Za-eg-mo-su-z_]/;
const coreSchema = new Schema({ schema: 'core' });

/** What the core schema of YAML 1.2 makes of a word: as the library has it, but for the two sorts that are plain to see. */
export function coreValue(word: string): ScalarNode['value'] {
  if (SHORT_NUMBER.test(word)) return Number(word);
  if (OPENS_NO_KEYWORD.test(word)) return word;
  for (const tag of coreSchema.tags) {
    if (tag.default !== true || !('test' in tag) || !tag.test?.test(word)) continue;
    const value: unknown = tag.resolve(word, () => {}, {});
    return (isScalar(value) ? value.value : value) as ScalarNode['value'];
  }
  return word;
}
