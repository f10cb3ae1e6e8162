import { removeEntry, replace } from '../source/edit.ts';
import { nodeAtOffset, offsetsOf } from '../source/source-file.ts';
import {
  type Entry,
  type MappingNode,
  REPLACEMENT_CHARACTER,
  type Span,
  type SyntaxFault,
  sourceText,
} from '../source/tree.ts';
import { type Fix, fileCheck, type Subject } from './check.ts';

/** More places are no help in a list. */
const MOST_RELATED = 5;

function* faultsOf(subject: Subject, rule: SyntaxFault['rule']): Iterable<SyntaxFault> {
  for (const fault of subject.syntax) if (fault.rule === rule) yield fault;
}

export const syntaxError = fileCheck({
  id: 'syntax-error',
  severity: 'error',
  title: 'YAML syntax error',
  page: {
    catches:
      'Text that is not valid YAML 1.2: an unclosed bracket or quote, a missing colon or comma, uneven indentation, a custom ' +
      'tag, an alias without its anchor. Text that is too large or nested too deeply to be a configuration.',
    why:
      'Text that cannot be read is left out. The rest of the file is still checked, so other findings may follow from this one: ' +
      'fix the syntax first.',
    example: 'fuel:\n  rail: { regulator: fixed, pressure: 3.0 bar gauge\n  grade: mogas-e5',
    remedy: 'Close the bracket or quote, or align the key with its neighbours.',
    basis: 'YAML 1.2.2, the core schema.',
  },
  *find(subject) {
    for (const fault of faultsOf(subject, 'syntax-error')) yield { at: fault, message: fault.message };
  },
});

export const duplicateKey = fileCheck({
  id: 'duplicate-key',
  severity: 'error',
  title: 'Duplicate key in section',
  page: {
    catches: 'A key that occurs more than once in the same section.',
    why:
      'Only one of the two values is used. Here it is the first; other programs use the last, or reject the file. A change to ' +
      'the other value has no effect.',
    example: 'engine:\n  idle_speed: 1400 rpm\n  idle_speed: 1200 rpm',
    remedy: 'Decide which value is right and remove the other.',
    basis: 'YAML 1.2.2, section 3.2.1.1: the keys of a mapping are unique.',
  },
  *find(subject) {
    for (const fault of faultsOf(subject, 'duplicate-key')) {
      const { message, other } = fault;
      const related = other ? [{ at: other, message: 'First occurrence.' }] : [];
      yield { at: fault, message, related, fixes: duplicateFixes(subject, fault) };
    }
  },
});

/** One fix for each value that may be the right one; of two equal values, either may go. */
function duplicateFixes(subject: Subject, fault: SyntaxFault): Fix[] {
  const later = entryAt(subject, fault);
  const first = fault.other && entryAt(subject, fault.other);
  if (!later || !first) return [];
  const name = `\`${later.entry.key.text}\``;
  const removing = (which: { mapping: MappingNode; entry: Entry }) =>
    removeEntry(subject.file, which.mapping, which.entry);
  if (sourceText(later.entry.value) === sourceText(first.entry.value))
    return [
      { title: `Remove this ${name}, which has the same value`, safety: 'safe', edits: removing(later) },
    ];
  return [
    { title: `Remove this ${name} and keep the first one`, safety: 'choice', edits: removing(later) },
    {
      title: `Remove the first ${name} and use this one`,
      safety: 'choice',
      edits: removing(first),
    },
  ];
}

function entryAt({ file }: Subject, span: Span): { mapping: MappingNode; entry: Entry } | undefined {
  const key = nodeAtOffset(file, offsetsOf(file, span).start);
  const mapping = key?.parent;
  if (mapping?.type !== 'mapping') return undefined;
  const entry = mapping.entries.find((one) => one.key === key);
  return entry && { mapping, entry };
}

export const tabIndentation = fileCheck({
  id: 'tab-indentation',
  severity: 'error',
  title: 'Tabs used for indentation',
  page: {
    catches:
      'Lines that are indented with tabs. A file has one finding for all of them, at the first line. The other checks read ' +
      'these lines as the fix would write them.',
    why: 'YAML allows only spaces, because the width of a tab depends on the editor. Other programs cannot read the file.',
    example: 'engine:\n\tbore: 76 mm',
    remedy: 'Indent with spaces. The fix replaces the tabs of all lines.',
    basis: 'YAML 1.2.2, section 6.1.',
  },
  *find(subject) {
    const faults = [...faultsOf(subject, 'tab-indentation')];
    const [first, ...others] = faults;
    if (!first) return;
    const repairs = faults.filter(({ spaces }) => spaces !== undefined);
    yield {
      at: first,
      message:
        others.length === 0
          ? first.message
          : `Tabs in the indentation of ${faults.length} lines; YAML allows only spaces.`,
      related: others.slice(0, MOST_RELATED).map((at) => ({ at, message: 'Also indented with a tab.' })),
      fixes: [
        {
          title: 'Indent with spaces',
          safety: 'safe',
          edits: repairs.map((fault) => replace(fault, fault.spaces!)),
        },
      ],
    };
  },
});

export const textNotUtf8 = fileCheck({
  id: 'text-not-utf-8',
  severity: 'error',
  title: 'File not encoded as UTF-8',
  page: {
    catches:
      'Characters that cannot be read as UTF-8, usually because an editor saved the file in another encoding. A file has one ' +
      'finding for all of them, at the first. `\uFFFDC` is read as `°C`; other values with such a character are not read.',
    why: 'A value whose unit cannot be read is left out, and so is everything that is computed from it.',
    example: 'operating_points:\n  climb: { air_temperature: 15 \uFFFDC }',
    remedy:
      'Reopen the file in the encoding in which it was saved, often Windows-1252 or ISO 8859-1, and save it as UTF-8. Do not save ' +
      'it before you reopen it: the characters would be lost.',
    basis: 'YAML 1.2.2, section 5.2: the encoding is UTF-8, UTF-16 or UTF-32. This program reads UTF-8.',
  },
  *find({ file, installation }) {
    // A value of the base that cannot be read is missing here as well.
    for (const { faults } of installation?.files ?? [file]) {
      const chunks = faults.filter(({ rule }) => rule === 'text-not-utf-8');
      const [first] = chunks;
      if (!first) continue;
      const count = chunks.reduce((sum, { chunk }) => sum + charactersLost(chunk.text), 0);
      const message =
        count === 1 ? first.message : `${count} characters from here on are not encoded as UTF-8.`;
      yield {
        at: first,
        message: `${message} Reopen the file in its original encoding and save it as UTF-8.`,
      };
    }
  },
});

const charactersLost = (text: string): number => text.split(REPLACEMENT_CHARACTER).length - 1;

export const unusedAnchor = fileCheck({
  id: 'unused-anchor',
  severity: 'hint',
  title: 'Unused anchor',
  page: {
    catches: 'An anchor (`&name`) without an alias (`*name`) that refers to it.',
    why: 'An anchor marks a value that is to be shared. If nothing shares it, an alias may have been forgotten.',
    example: 'fuel:\n  rail: { regulator: manifold-referenced, pressure: &rail 3.0 bar }',
    remedy: 'Remove the anchor, or add the alias.',
    basis: 'Common practice, no source.',
  },
  *find(subject) {
    for (const fault of faultsOf(subject, 'unused-anchor')) {
      const { text } = fault.chunk;
      // The space between anchor and value goes as well; at the end of a line, the space before the anchor.
      const after = /[ \t]*/y;
      after.lastIndex = fault.end;
      const blanks = after.exec(text)?.[0].length ?? 0;
      const endsLine = /[\r\n]|^$/.test(text.charAt(fault.end + blanks));
      const span = endsLine
        ? { chunk: fault.chunk, start: fault.start - 1, end: fault.end }
        : { chunk: fault.chunk, start: fault.start, end: fault.end + blanks };
      const title = `Remove \`${text.slice(fault.start, fault.end)}\``;
      yield {
        at: fault,
        message: fault.message,
        fixes: [{ title, safety: 'safe', edits: [replace(span, '')] }],
      };
    }
  },
});
