import { capital } from '../capital.ts';
import { isFault, nearestWord, parseQuantity } from '../quantity/index.ts';
import { runQuantities, runQuantity } from '../runs/quantities.ts';
import { accuracyFrom } from '../runs/setup.ts';
import { type Entry, type MappingNode, nodeAtPath } from '../source/tree.ts';
import { type Family, fileCheck, type Subject } from './check.ts';
import { nameOf, quote, renaming } from './form-words.ts';

/** The entries of a section of a run file; none in other files. */
function entriesOf({ run, file }: Subject, section: string): readonly Entry[] {
  const node = run && nodeAtPath(file.root, [section]);
  return node?.type === 'mapping' ? (node as MappingNode).entries : [];
}

export const runEngineMissing = fileCheck({
  id: 'run-engine-missing',
  severity: 'error',
  title: 'Engine file of a run not found',
  page: {
    catches: 'An `engine` of a run file whose file does not exist, cannot be read, or is not an engine file.',
    why: 'Without the text that the controller held, nothing that was measured can be compared.',
    example: 'runfile: 1\nengine: ./dottrel.engine.yaml\ndata: ./run.csv\nkind: brake',
    remedy:
      'Correct the path; it is relative to the folder of the run file. A file at a commit is written `REV:PATH`.',
    basis: 'The file format.',
  },
  *find({ links }) {
    for (const { rule, node, refusal } of links) {
      if (rule !== 'run-engine-missing') continue;
      const reason = node.text.endsWith('.engine.yaml')
        ? (refusal ?? 'that file does not exist or cannot be read')
        : 'the name of an engine file must end in `.engine.yaml`';
      yield { at: node, message: `${capital(nameOf(node))} names ${quote(node.text)}, but ${reason}.` };
    }
  },
});

export const runQuantityUnknown = fileCheck({
  id: 'run-quantity-unknown',
  severity: 'error',
  title: 'Unknown quantity in a run file',
  page: {
    catches: 'A key under `columns` or `accuracy` of a run file that is not a quantity that data can hold.',
    why: 'A column under an unknown quantity is not used, so a run may lack its torque or its lambda without anybody noticing.',
    example:
      'runfile: 1\nengine: ./a.engine.yaml\ndata: ./a.csv\nkind: brake\ncolumns: { engine_sped: n_mot }',
    remedy:
      'Use one of the known names. For a quantity of one cylinder, add the cylinder number in brackets: `exhaust_gas_temperature[2]`.',
    basis: 'The file format.',
  },
  *find(subject) {
    for (const section of ['columns', 'accuracy']) {
      for (const entry of entriesOf(subject, section)) {
        if (runQuantity(entry.key.text)) continue;
        const nearest = nearestWord(
          entry.key.text,
          runQuantities.map(({ name }) => name),
        );
        const fixes = renaming(entry, nearest);
        yield { at: entry.key, message: `Unknown quantity ${quote(entry.key.text)}.`, fixes };
      }
    }
  },
});

export const runAccuracyUnreadable = fileCheck({
  id: 'run-accuracy-unreadable',
  severity: 'error',
  title: 'Unreadable accuracy of an instrument',
  page: {
    catches: 'An accuracy in a run file that is neither a percentage nor a number in a unit of its quantity.',
    why: 'An accuracy that is not read counts as zero, so an error of the instrument would be taken for a departure of the engine.',
    example:
      'runfile: 1\nengine: ./a.engine.yaml\ndata: ./a.csv\nkind: brake\naccuracy: { charge_temperature: ± 3 bar }',
    remedy:
      'Write a percentage of the reading, such as `± 1 %`, or a number with a unit of the quantity, such as `± 2 K`.',
    basis: 'The file format.',
  },
  *find(subject) {
    for (const { key, value } of entriesOf(subject, 'accuracy')) {
      if (value.type !== 'scalar' || value.style === 'empty' || !runQuantity(key.text)) continue;
      if (accuracyFrom(key.text, value.text)) continue;
      const bare = parseQuantity(value.text.replace(/^\s*(±|\+\/?-)/, ''));
      const why = isFault(bare) ? 'cannot be read as an accuracy' : `does not fit ${quote(key.text)}`;
      yield { at: value, message: `${quote(value.text)} ${why}.` };
    }
  },
});

export const runs: Family = {
  id: 'runs',
  title: 'Measured runs',
  checks: [runEngineMissing, runQuantityUnknown, runAccuracyUnreadable],
};
