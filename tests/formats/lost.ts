/** The part of a schema that decides what a file may contain. */
export interface Schema {
  readonly $defs?: Readonly<Record<string, Schema>>;
  readonly $ref?: string;
  readonly type?: string | readonly string[];
  readonly enum?: readonly unknown[];
  readonly properties?: Readonly<Record<string, Schema>>;
  readonly required?: readonly string[];
  readonly additionalProperties?: Schema | boolean;
  readonly items?: Schema;
  readonly [keyword: string]: unknown;
}

/** A number that a later version may only raise (1) or lower (-1), or remove. */
const LIMITS = { minimum: -1, minItems: -1, minLength: -1, maximum: 1, maxItems: 1, maxLength: 1 };

/** How text is read: another kind of quantity needs other units. */
const MEANINGS = ['quantity', 'range', 'curve', 'map', 'relation', 'names', 'keyNames', 'file', 'unitOf'];

/** What the earlier schema allows and the later one does not: the place and what is gone. */
export function lost(earlier: Schema, later: Schema): string[] {
  const compared = new Set<string>();
  const resolve = (schema: Schema, root: Schema): Schema =>
    schema.$ref ? root.$defs![schema.$ref.replace('#/$defs/', '')]! : schema;

  const compare = (old: Schema, now: Schema, place: string): string[] => {
    const pair = `${old.$ref} ${now.$ref}`;
    if (old.$ref && compared.has(pair)) return [];
    if (old.$ref) compared.add(pair);
    return compareResolved(resolve(old, earlier), resolve(now, later), place);
  };

  const compareResolved = (old: Schema, now: Schema, place: string): string[] => {
    const at = (what: string) => (place === '' ? what : `${place}: ${what}`);
    const gone: string[] = [];
    for (const word of missing(old.type, now.type)) gone.push(at(`type ${word}`));
    for (const word of missing(old.enum, now.enum)) gone.push(at(`enum ${word}`));
    for (const name of missing(now.required ?? [], old.required ?? [])) gone.push(at(`required ${name}`));
    for (const [keyword, direction] of Object.entries(LIMITS)) {
      const [before, after] = [old[keyword], now[keyword]] as (number | undefined)[];
      const isKept = after === undefined || (before !== undefined && direction * (after - before) >= 0);
      if (!isKept) gone.push(at(keyword));
    }
    for (const keyword of MEANINGS)
      if (JSON.stringify(old[keyword]) !== JSON.stringify(now[keyword])) gone.push(at(keyword));
    for (const [key, child] of Object.entries(old.properties ?? {})) {
      const path = place === '' ? key : `${place}.${key}`;
      const same = now.properties?.[key];
      gone.push(...(same ? compare(child, same, path) : [`${path}: the key`]));
    }
    const [others, othersNow] = [old.additionalProperties, now.additionalProperties];
    if (typeof others === 'object' && typeof othersNow === 'object')
      gone.push(...compare(others, othersNow, `${place}.*`));
    else if (others !== false && othersNow === false) gone.push(at('other keys'));
    if (old.items && now.items) gone.push(...compare(old.items, now.items, `${place}[]`));
    return gone;
  };
  return compare(earlier, later, '');
}

/** What the first list allows and the second does not; without a list, everything is allowed. */
function missing(old: unknown, now: unknown): unknown[] {
  if (now === undefined) return [];
  const allowed = [now].flat();
  return old === undefined ? ['any'] : [old].flat().filter((one) => !allowed.includes(one));
}
