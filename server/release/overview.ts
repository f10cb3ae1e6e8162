import { version } from '../../package.json';
import { counted } from '../../shared/counted.ts';
import { COVERED, type JudgedBound } from '../../shared/limits/verdict.ts';
import { BOUND_DIGITS } from '../../shared/proof/witness.ts';
import { signedBound, situationText, witnessText } from '../../shared/proof/words.ts';
import { formatQuantity } from '../../shared/quantity/index.ts';
import { visible, wrap } from '../formats/layout.ts';
import { changedThresholds } from '../formats/report-html/findings.ts';
import { plainText } from '../plain-text.ts';
import type { Basis, ReleaseFile } from './manifest.ts';
import { judgementsOf } from './sources.ts';

const WIDTH = 100;

/** What a reader who does not know this program needs: which revision this is, what was accepted, what holds and what is open. */
export function overviewText({ sources, built, bounds }: Basis, images: readonly ReleaseFile[]): string {
  const { analysis, revision, name } = sources;
  const { configuration, controller } = analysis.installation;
  const { commit, files } = revision;
  const clean = files.every(({ committed }) => committed === true);
  const git = commit
    ? `${commit.id}${clean ? '' : ', with changes that are not in it'}`
    : 'not under version control';
  const facts = [
    ['Engine', configuration.title?.text ?? '(no title)'],
    ['Revision', configuration.revision?.text ?? '(none stated)'],
    ['Controller', controller?.name?.text ?? '(no name)'],
    ['Content digest', built.digest],
    [
      'In the image',
      built.identity ? `"${built.identity.text}"` : '(no identity: recognise it by its bytes)',
    ],
    ['Git commit', git],
    ['Made by', `Enginewright ${version}`],
  ];
  const limited = bounds.filter(({ limit, verdict }) => limit && verdict);
  const open = limited.filter(({ verdict }) => verdict === 'open');
  const holds = limited.filter(({ verdict }) => verdict === 'holds');
  const holdsWithFault = holds.filter(({ fault }) => fault !== undefined).length;
  const { findings, accepted } = judgementsOf(sources);
  const thresholds = changedThresholds(configuration);
  return [
    'Release of an engine controller configuration',
    '',
    ...facts.map(([label, text]) => `${`${label}:`.padEnd(16)} ${oneLine(text!)}`),
    '',
    ...section(
      'Accepted findings, with the reasons',
      accepted.map(({ finding, reason }) => `${finding.message} Accepted because: ${reason}`),
    ),
    ...section(
      'Findings that are left (none is an error)',
      findings.map(({ severity, message }) => `${severity}: ${message}`),
    ),
    ...section(
      'Thresholds of checks that were changed',
      thresholds.map(
        (one) =>
          `${one.check}, ${one.setting}: ${one.value} instead of ${one.default}. Reason: ${one.reason}`,
      ),
    ),
    ...section('Limits that are open: neither proved nor broken', open.map(boundText)),
    ...section('Limits that hold in every state of the envelope', [
      ...holds.filter(({ fault }) => fault === undefined).map(boundText),
      ...(holdsWithFault > 0
        ? [`${counted(holdsWithFault, 'limit')} with single faults, listed in report.html.`]
        : []),
    ]),
    'Files',
    ...fileList(images, name),
    '',
    ...wrap(
      'Every file is listed in manifest.json with its SHA-256 (an in-toto Statement). `enginewright verify` with the name of this folder compares all of them, builds the image again from the files in sources and compares it. Without that program, `sha256sum` gives the same digests.',
      WIDTH,
    ),
    '',
  ].join('\n');
}

/** A text of a file must not look like a line of this one. */
const oneLine = (text: string): string => visible(text.replace(/\s+/g, ' '));

function section(title: string, items: readonly string[]): string[] {
  const lines = items.flatMap((item) => {
    const [first = '', ...rest] = wrap(oneLine(plainText(item)), WIDTH - 4);
    return [`  - ${first}`, ...rest.map((line) => `    ${line}`)];
  });
  return [title, ...(lines.length > 0 ? lines : ['  None.']), ''];
}

function boundText(judged: JudgedBound): string {
  const { label, show, limit, verdict } = judged;
  const where = situationText(judged);
  const limitText = `limit ${formatQuantity(limit!.value, show, BOUND_DIGITS)} (${limit!.kind.label}${limit!.kind.label === COVERED ? `: ${limit!.at}` : ''})`;
  const text = `${label} ${signedBound(judged)}, ${limitText}${where ? `; ${where}` : ''}.`;
  return verdict === 'holds' ? text : `${text} State: ${witnessText(judged)}.`;
}

function fileList(images: readonly ReleaseFile[], engine: string): string[] {
  const rows = [
    ...images.map(({ name }) => [name, 'the bytes for the controller']),
    ['listing.json', 'each stored value, its address and its count'],
    ['report.html', 'the report: findings, limits, values, maps, wiring'],
    ['findings.sarif', 'findings and accepted findings, for programs'],
    ['bounds.json', 'bounds over all states, for programs'],
    ['values.json', 'derived values with formulas and sources, for programs'],
    [engine, 'the engine file; beside it the files that it names'],
    ['manifest.json', 'the digests of all files, for signing'],
  ] as const;
  const width = Math.max(...rows.map(([name]) => name!.length));
  return rows.map(([name, text]) => `  ${name!.padEnd(width)}  ${text}`);
}
