import type { EngineSubject } from '../../shared/checks/check.ts';
import { wireList } from '../../shared/derived/wire-list.ts';
import { faultTableOver } from '../../shared/faults/envelope.ts';
import { fullProofOf, limitedBounds } from '../../shared/limits/verdict.ts';
import { BRIEF } from '../../shared/proof/proof.ts';
import { paperPath, projectPath } from '../files.ts';
import { installerPaper } from '../formats/papers/installer.ts';
import { pilotPaper } from '../formats/papers/pilot.ts';
import type { Dossier, PaperSource } from '../formats/report-html/dossier.ts';
import { dossierPage } from '../formats/report-html/page.ts';
import { wireListCsv } from '../formats/wire-list-csv.ts';
import { revisionOf } from '../revision.ts';
import type { Terminal } from '../terminal.ts';
import { writeWhole } from '../whole-file.ts';
import { type Command, type Status, UsageError } from './command.ts';
import { valueGroups } from './derive.ts';
import { engineAnalysis } from './engine-file.ts';

/** What is written for each reader. */
const PAPERS: Readonly<Record<string, (source: PaperSource) => string>> = {
  reviewer: (source) => dossierPage(dossierOf(source)),
  installer: installerPaper,
  pilot: (source) => pilotPaper(dossierOf(source)),
};

/** Adds what is searched over all states of the envelope, which takes seconds. */
function dossierOf(source: PaperSource): Dossier {
  const { derivation, subject } = source.analysis;
  const engine = subject as EngineSubject;
  const proof = fullProofOf(engine, BRIEF);
  const bounds = [...limitedBounds(proof, engine)];
  const faults = faultTableOver(engine, proof, bounds);
  return { ...source, groups: valueGroups(derivation), envelope: proof.envelope, bounds, faults };
}

export const report: Command = {
  options: {
    for: { choices: Object.keys(PAPERS), meaning: 'reader of the report' },
    format: { choices: ['html', 'csv'], meaning: 'output format; csv is the wire list for the installer' },
    output: { value: 'FILE', meaning: 'write the page to this file instead of standard output' },
  },
  description: `Writes the report of one installation as an HTML page, for the records or for handover: findings and
accepted findings, operating points, limits in every state of the envelope, protection limits and warning lights, the fault table, the configuration, all maps and curves, pin plan,
wire list, sensors, bus, derived values with formulas and sources, and the exact source revision.

\`--for installer\` writes what is needed to wire and first start the engine: the wire list by circuit and by connector, the cut list,
sensor tables, the light test and a checklist. With \`--format csv\` it writes the wire list alone. \`--for pilot\` writes one page: lights,
switch positions, limits, and what a failure takes away.

The page is a single printable file without scripts or external resources. The same files give the same page. Faults
in the files are listed among the findings.

Exit status: 0 if the page was written, 2 otherwise.`,
  run({ operands, option, terminal }): Status {
    const [name, ...more] = operands;
    if (name === undefined || more.length > 0) throw new UsageError('`report` takes one engine file.');
    const analysis = engineAnalysis(name, 'report');
    const reader = option('for')!;
    if (option('format') === 'csv') {
      if (reader !== 'installer')
        throw new UsageError('`--format csv` writes the wire list; use it with `--for installer`.');
      return write(wireListCsv(wireList(analysis.installation.configuration)), option('output'), terminal);
    }
    const page = PAPERS[reader]!({
      ...{ name: paperPath(projectPath(name)), analysis, revision: revisionOf(analysis.files) },
      fileName: paperPath,
    });
    return write(page, option('output'), terminal);
  },
};

function write(text: string, output: string | undefined, terminal: Terminal): Status {
  if (output === undefined) terminal.out(text);
  else {
    const refusal = writeWhole(output, text);
    if (refusal) throw new UsageError(refusal);
  }
  return 0;
}
