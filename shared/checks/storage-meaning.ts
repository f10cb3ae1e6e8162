import type { ControllerConfiguration } from '../../generated/configuration.ts';
import { sameValue } from '../configuration/same-value.ts';
import { nodeOf, valueAtPath } from '../configuration/values.ts';
import { groupedBy } from '../grouped-by.ts';
import { fieldConflicts } from '../storage/conflicts.ts';
import { identityMisfit as misfitOf } from '../storage/identity.ts';
import { keptParts } from '../storage/kept-parts.ts';
import { checksumsOf, identityRegion } from '../storage/layout.ts';
import { placeOfField } from '../storage/place.ts';
import { codeOf } from '../storage/stored-parts.ts';
import { type Check, controllerCheck, engineCheck } from './check.ts';
import { quote } from './form-words.ts';
import { listed } from './words.ts';

export const sharedPlaceDiffers: Check = engineCheck({
  id: 'shared-place-differs',
  severity: 'error',
  title: 'One place for two different values',
  page: {
    catches:
      'Storage fields, or their breakpoints, that have the same place in the controller although the engine file has different values for them.',
    why: 'Two tables may share an axis in the controller, and then they must share it in the engine file. Otherwise one of them is stored with the breakpoints of the other.',
    example:
      '# both y axes are stored at 0x0080\nfuel:\n  target_lambda: { y: { breakpoints: [30, 100, 180] } }\nignition:\n  advance: { y: { breakpoints: [30, 90, 180] } }',
    remedy: 'Give both values the same numbers, or correct the addresses in the controller file.',
    basis: 'Arithmetic: a byte has one value.',
  },
  *find({ installation }) {
    for (const { node, message } of fieldConflicts(installation)) yield { at: node, message };
  },
});

export const wordWithoutCode: Check = engineCheck({
  id: 'word-without-code',
  severity: 'error',
  title: 'Word without a stored code',
  page: {
    catches: 'A word or flag for which its storage field states no code.',
    why: 'The controller cannot store the word, so it keeps whatever it had before.',
    example:
      'fuel:\n  injectors: { timing: simultaneous }   # and the field has `codes: { sequential: 0, paired: 1 }`',
    remedy: 'Write one of the words that the controller knows, or add the code to the controller file.',
    basis: 'The codes in the controller file.',
  },
  *find({ installation }) {
    for (const { field, path, written } of keptParts(installation)) {
      for (const { node, word } of written.words) {
        if (!field.codes || codeOf(field, word)) continue;
        const known = Object.keys(field.codes).map(quote);
        const choice = known.length > 0 ? `; it knows ${listed(known, 6)}` : '';
        yield {
          at: node,
          message: `The field of ${quote(path)} has no code for ${quote(word)}${choice}.`,
          related: [{ at: nodeOf(field.codes), message: 'Codes of the field.' }],
        };
      }
    }
  },
});

export const codesRepeated: Check = controllerCheck({
  id: 'codes-repeated',
  severity: 'error',
  title: 'One code for two words',
  page: {
    catches: 'A storage field that stores two words as the same number.',
    why: 'Nobody can tell from the controller which of the words was meant, and the engine may run on the other one.',
    example: 'fields:\n  fuel.injectors.timing: { at: 4, type: u8, codes: { sequential: 1, paired: 1 } }',
    remedy: 'Correct the codes from the documentation of the controller.',
    basis: 'Arithmetic.',
  },
  *find({ storage }) {
    for (const field of Object.values(storage?.fields ?? {})) {
      const byCode = groupedBy(Object.entries(field.codes ?? {}), ([, code]) => code.canonical);
      for (const [code, words] of byCode) {
        const [first, second] = words;
        if (!first || !second) continue;
        yield {
          at: second[1].node,
          message: `${quote(first[0])} and ${quote(second[0])} are both stored as ${code}.`,
          related: [{ at: first[1].node, message: `Code of ${quote(first[0])}.` }],
        };
      }
    }
  },
});

export const mapSetWithoutPlace: Check = engineCheck({
  id: 'map-set-without-place',
  severity: 'warning',
  title: 'Map set without a place in storage',
  page: {
    catches:
      'A value that a map set changes and that has a storage field only for the engine without a map set.',
    why: 'The controller has one place for the value, so the image contains the one without a map set, and the switch in the panel changes nothing.',
    example:
      '# the storage has `boost.target`, but no `map_set[2].boost.target`\nmap_sets:\n  sets:\n    tow: { when: open }\n    ferry: { when: closed, apply: { boost: { target: { … } } } }',
    remedy:
      'Add a field with `map_set[NUMBER].` before the path, where the controller stores the value of that map set.',
    basis: 'The fields in the controller file.',
  },
  *find({ installation: { engines, controller } }) {
    const fields = controller?.storage?.fields ?? {};
    const [base, ...sets] = engines;
    for (const [i, { mapSet, configuration }] of sets.entries()) {
      const lost = Object.keys(fields).flatMap((key) => {
        const { set, path } = placeOfField(key);
        if (set !== undefined || fields[`map_set[${i + 1}].${path}`]) return [];
        const steps = path.split('.');
        const [own, usual] = [configuration, base!.configuration].map((one) => valueAtPath(one, steps));
        return own && own.node !== usual?.node && !sameValue(own, usual) ? [{ path, node: own.node }] : [];
      });
      const [first] = lost;
      if (!first) continue;
      yield {
        at: first.node,
        message: `The controller has no place for ${listed(
          lost.map(({ path }) => quote(path)),
          6,
        )} of map set ${quote(mapSet!)}, so it runs on ${lost.length === 1 ? 'the value' : 'the values'} without a map set.`,
        related: [
          { at: nodeOf(fields[first.path]!), message: `Field of ${quote(first.path)} without a map set.` },
        ],
      };
    }
  },
});

export const placeWithoutMapSet: Check = engineCheck({
  id: 'place-without-map-set',
  severity: 'information',
  title: 'Storage field of a missing map set',
  page: {
    catches: 'Storage fields of a map set that the engine file does not have.',
    why: 'They are filled with the values without a map set, so that the controller runs on the same values whichever set its switch selects.',
    example: '# the storage has `map_set[2].boost.target`, and the engine file has one map set',
    remedy: 'Nothing, if the engine needs no further map set. Otherwise add it.',
    basis: 'The fields in the controller file.',
  },
  *find({ installation: { engines, configuration, controller } }) {
    if (!configuration.controller) return;
    const missing = fieldsOfSets(controller).filter(([set]) => set >= engines.length);
    if (missing.length === 0) return;
    const numbers = [...new Set(missing.map(([set]) => set))].map(String);
    const sets = numbers.length === 1 ? `map set ${numbers[0]}` : `map sets ${listed(numbers, 6)}`;
    yield {
      at: configuration.controller.node,
      message: `The controller stores ${sets}, which this engine does not have; the values without a map set are stored there.`,
      related: missing.slice(0, 1).map(([, node]) => ({ at: node, message: 'Field of that map set.' })),
    };
  },
});

const fieldsOfSets = (controller: ControllerConfiguration | undefined) =>
  Object.entries(controller?.storage?.fields ?? {}).flatMap(([key, field]) => {
    const { set } = placeOfField(key);
    return set === undefined ? [] : [[set, nodeOf(field)] as const];
  });

export const checksumOrder: Check = controllerCheck({
  id: 'checksum-order',
  severity: 'error',
  title: 'Checksum over a later checksum',
  page: {
    catches: 'A checksum that covers the place of another one that is computed after it.',
    why: 'Writing the later checksum changes what the earlier one covers, so the earlier one is never right.',
    example:
      'checksum:\n  - { kind: crc-32, at: 0x0FFC, over: 0x0000..0x0FFB }\n  - { kind: sum-16, at: 0x0FF8, over: 0x0000..0x0FF7 }',
    remedy: 'List the inner checksum first.',
    basis: 'Arithmetic: checksums are computed in the order of the list.',
  },
  *find({ storage }) {
    const all = storage ? checksumsOf(storage) : [];
    for (const [i, checksum] of all.entries()) {
      const { over } = checksum;
      const later = all.slice(i + 1).find(({ start, end }) => start < over.end && end > over.start);
      if (!later) continue;
      yield {
        at: over.node,
        message: `Checksum ${i + 1} covers the place of ${later.label}, which is computed after it.`,
        related: [{ at: later.node, message: 'Address of that checksum.' }],
      };
    }
  },
});

export const identityMisfit: Check = engineCheck({
  id: 'identity-misfit',
  severity: 'error',
  title: 'Identity does not fit the image',
  page: {
    catches:
      'A `revision` that is too long for the identity in the controller’s storage, is not ASCII, or is missing although the storage has an identity.',
    why: 'The identity states which revision is in a controller that comes back for repair. A shortened one could be that of another revision.',
    example:
      'storage:\n  identity: { at: 0x0004, length: 16 byte }   # and `revision: D-12` in the engine file: 17 characters',
    remedy: 'Shorten the revision, or give the identity more space: the length of the revision plus 13.',
    basis: 'Arithmetic: the revision, a blank and 12 digits of the content digest.',
  },
  *find({ installation }) {
    const storage = installation.controller?.storage;
    const region = storage && identityRegion(storage);
    const misfit = misfitOf(installation);
    if (!region || !misfit) return;
    const related = [{ at: region.node, message: 'Identity in the storage of the controller.' }];
    yield { at: misfit.node, message: misfit.message, related };
  },
});
