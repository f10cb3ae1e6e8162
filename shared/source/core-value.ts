import { isScalar, Schema } from 'yaml';
import type { ScalarNode } from './tree.ts';

/** Numbers this short are parsed exactly by `Number`. */
const SHORT_NUMBER = /^-?\d{1,9}(?:\.\d{1,6})?$/;
/** First letters other than those of `null`, `true` and `false`. */
const OPENS_NO_KEYWORD = /^[A-EG-MO-SU-Za-eg-mo-su-z_]/;
const coreSchema = new Schema({ schema: 'core' });

/**
 * The value of a plain word in the core schema of YAML 1.2. Two common cases are decided here, all others as the
 * library does.
 */
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
