import { dossierPage } from '../formats/report-html/page.ts';
import { revisionOf } from '../revision.ts';
import { writeWhole } from '../whole-file.ts';
import { type Command, Refusal, type Status } from './command.ts';
import { valueGroups } from './derive.ts';
import { engineAnalysis } from './engine-file.ts';

export const report: Command = {
  options: { output: { value: 'FILE', meaning: 'write the page to this file, whole or not at all' } },
  description: `Writes the dossier of one installation as a page of HTML, for file or handover: findings and
accepted departures, the operating points, limits and lights, what is written, every map and curve drawn,
pin plan, wire list, sensors, bus, derived values with formulas and sources, and the exact source revision.
The page needs nothing beside it, runs no script, loads nothing, and prints. The same files make the same page.

Exit status: 0 where the page was written, 2 where it could not be. A fault in the file does not keep the page
back: it is one of its findings.`,
  run({ operands, option, terminal }): Status {
    const [name, ...more] = operands;
    if (name === undefined || more.length > 0) throw new Refusal('`report` needs one engine file.');
    const analysis = engineAnalysis(name, 'a report is made of');
    const revision = revisionOf(analysis.files);
    const page = dossierPage({ name, analysis, groups: valueGroups(analysis.derivation), revision });
    const output = option('output');
    if (output === undefined) terminal.out(page);
    else {
      const refusal = writeWhole(output, page);
      if (refusal) throw new Refusal(refusal);
    }
    return 0;
  },
};
