import type { EngineSubject } from '../../shared/checks/check.ts';
import { faultTable } from '../../shared/faults/table.ts';
import { fullProofOf, limitedBounds } from '../../shared/limits/verdict.ts';
import { BRIEF } from '../../shared/proof/proof.ts';
import { dossierPage } from '../formats/report-html/page.ts';
import { revisionOf } from '../revision.ts';
import { writeWhole } from '../whole-file.ts';
import { type Command, type Status, UsageError } from './command.ts';
import { valueGroups } from './derive.ts';
import { engineAnalysis } from './engine-file.ts';

export const report: Command = {
  options: { output: { value: 'FILE', meaning: 'write the page to this file instead of standard output' } },
  description: `Writes the report of one installation as an HTML page, for the records or for handover: findings and
accepted findings, operating points, limits in every state of the envelope, protection limits and warning lights, the fault table, the configuration, all maps and curves, pin plan,
wire list, sensors, bus, derived values with formulas and sources, and the exact source revision.

The page is a single printable file without scripts or external resources. The same files give the same page. Faults
in the files are listed among the findings.

Exit status: 0 if the page was written, 2 otherwise.`,
  run({ operands, option, terminal }): Status {
    const [name, ...more] = operands;
    if (name === undefined || more.length > 0) throw new UsageError('`report` takes one engine file.');
    const analysis = engineAnalysis(name, 'report');
    const revision = revisionOf(analysis.files);
    const proof = fullProofOf(analysis.subject as EngineSubject, BRIEF);
    const page = dossierPage({
      ...{ name, analysis, revision },
      groups: valueGroups(analysis.derivation),
      envelope: proof.envelope,
      faults: faultTable(analysis.subject as EngineSubject),
      bounds: [...limitedBounds(proof, analysis.subject as EngineSubject)],
    });
    const output = option('output');
    if (output === undefined) terminal.out(page);
    else {
      const refusal = writeWhole(output, page);
      if (refusal) throw new UsageError(refusal);
    }
    return 0;
  },
};
