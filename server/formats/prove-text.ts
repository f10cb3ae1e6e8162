import { counted } from '../../shared/counted.ts';
import type { JudgedBound, Verdict } from '../../shared/limits/verdict.ts';
import { BOUND_DIGITS, toleranceWords, witnessTexts } from '../../shared/proof/witness.ts';
import { NO_ENVELOPE, signedBound, situationText } from '../../shared/proof/words.ts';
import { formatQuantity } from '../../shared/quantity/index.ts';
import { verdictCounts } from '../bound-words.ts';
import type { Style, TextLayout } from '../terminal.ts';
import type { Format } from './format.ts';
import { hang, PARTS, padEnd, printable } from './layout.ts';
import type { ProvedFile, ProveReport } from './prove-report.ts';

/** For people: the bounds that have a limit first, broken ones on top, then the others. */
export const proveText: Format<ProveReport> = {
  write: ({ files }, paper) => files.map((file) => fileText(file, paper)).join('\n'),
};

const ORDER: readonly (Verdict | undefined)[] = ['broken', 'open', 'holds', undefined];
const PAINT: Readonly<Record<Verdict, keyof Style>> = { broken: 'red', open: 'yellow', holds: 'green' };

function fileText({ name, envelope, bounds }: ProvedFile, paper: TextLayout): string {
  const { style, width } = paper;
  const head = style.bold(printable(name));
  if (!envelope) return `${head}\n  ${NO_ENVELOPE}\n`;
  const sorted = ORDER.flatMap((verdict) => bounds.filter((one) => one.verdict === verdict));
  const blocks = sorted.map((one) => blockText(one, paper));
  return `${head}\n\n${blocks.join('\n')}\n${hang('', summary(bounds), width)}\n`;
}

function blockText(proved: JudgedBound, { style, width }: TextLayout): string {
  const { label, reached, show, limit, verdict, isClosed } = proved;
  const verdictText = verdict ? style[PAINT[verdict]](padEnd(verdict, 6)) : padEnd(isClosed ? '' : 'open', 6);
  const where = situationText(proved);
  const within = limit ? `, limit ${formatQuantity(limit.value, show, BOUND_DIGITS)} (${limit.at})` : '';
  const line = `${printable(label)} ${signedBound(proved)}${within}${where ? `; ${where}` : ''}`;
  const state = Object.entries(witnessTexts(proved)).filter(([name]) => name !== 'map_set');
  const parts = [...state.map(([, text]) => text), printable(toleranceWords(proved.atTolerance))].filter(
    Boolean,
  );
  const witness = `reaches ${formatQuantity(reached, show, BOUND_DIGITS)} at ${parts.join(' · ')}`;
  return `  ${verdictText}  ${hang('          ', line, width).trimStart()}\n${style.dim(hang('          ', witness, width, PARTS))}`;
}

const summary = (bounds: readonly JudgedBound[]): string =>
  `${counted(bounds.length, 'bound')}; ${verdictCounts(bounds)}.`;
