import { counted } from '../counted.ts';
import { type Conflict, conflictsIn } from '../source/conflict.ts';
import { replace } from '../source/edit.ts';
import type { Chunk, Span } from '../source/tree.ts';
import { type Fix, type Found, fileCheck } from './check.ts';
import { quote } from './form-words.ts';

export const mergeConflict = fileCheck({
  id: 'merge-conflict',
  severity: 'error',
  title: 'Unresolved merge conflict',
  page: {
    catches:
      'Lines between the markers `<<<<<<<`, `=======` and `>>>>>>>` that version control left for you to choose from. ' +
      'The other checks read the first side.',
    why: 'The file contains two alternatives for the same lines. Other programs cannot read it.',
    example:
      'engine:\n<<<<<<< HEAD\n  idle_speed: 1400 rpm\n=======\n  idle_speed: 1200 rpm\n>>>>>>> cold-start',
    remedy: 'Keep one side, or write what is right for both, and remove the markers.',
    basis: 'Common practice, no source.',
  },
  *find({ syntax }) {
    const chunks = new Set(syntax.filter(({ rule }) => rule === 'merge-conflict').map(({ chunk }) => chunk));
    for (const chunk of chunks) for (const conflict of conflictsIn(chunk.text)) yield found(chunk, conflict);
  },
});

type Stretch = Omit<Span, 'chunk'>;

function found(chunk: Chunk, { opening, ancestor, middle, closing }: Conflict): Found {
  const span = (start: number, end: number): Span => ({ chunk, start, end });
  const textOf = ({ start, end }: Stretch) => chunk.text.slice(start, end).trimEnd();
  const marker = (line: Stretch): Span => span(line.start, line.start + textOf(line).length);
  const firstEnd = (ancestor ?? middle).start;
  const [first, second] = [span(opening.end, firstEnd), span(middle.end, closing.start)].map(linesOf);
  const firstSide = `first side${described(first!, second!, textOf(opening))}`;
  const secondSide = `second side${described(second!, first!, textOf(closing))}`;
  const keep = (side: string, ...removed: readonly Span[]): Fix => ({
    title: `Keep the ${side}`,
    safety: 'choice',
    edits: removed.map((one) => replace(one, '')),
  });
  return {
    at: marker(opening),
    message: `Unresolved merge conflict; ${firstSide}; ${secondSide}. The other checks read the first side.`,
    related: [
      { at: marker(middle), message: 'The second side begins here.' },
      { at: marker(closing), message: 'The conflict ends here.' },
    ],
    fixes: [
      keep(firstSide, span(opening.start, opening.end), span(firstEnd, closing.end)),
      keep(secondSide, span(opening.start, middle.end), span(closing.start, closing.end)),
    ],
  };
}

const linesOf = ({ chunk, start, end }: Span): string[] =>
  chunk.text
    .slice(start, end)
    .split('\n')
    .map((line) => line.trim())
    .filter((line) => line !== '');

/** A longer text is cut. */
const LONGEST_QUOTED = 60;

const cut = (text: string): string =>
  quote(text.length > LONGEST_QUOTED ? `${text.slice(0, LONGEST_QUOTED - 1)}…` : text);

/** `` (`HEAD`): `bore: 76 mm` and 2 more lines ``: whose side it is, and the first line that differs from the other side. */
function described(lines: readonly string[], others: readonly string[], marker: string): string {
  const whose = marker.replace(/^\S+\s*/, '');
  const line = lines.find((one, i) => one !== others[i]) ?? lines[0];
  const more = lines.length > 1 ? ` and ${counted(lines.length - 1, 'more line')}` : '';
  return `${whose && ` (${cut(whose)})`}: ${line === undefined ? 'no lines' : cut(line) + more}`;
}
