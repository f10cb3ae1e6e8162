import { counted } from '../../shared/counted.ts';
import { applyBaseline, type Baseline, baselineOf, baselineOrRefuse, baselineText } from '../baseline.ts';
import type { CheckedFile } from '../formats/check-report.ts';

import { writeWhole } from '../whole-file.ts';
import { type Call, UsageError } from './command.ts';

/** The baseline that the call names or writes. */
function baselineFor(
  call: Call,
  files: readonly CheckedFile[],
  problems: readonly string[],
): Baseline | undefined {
  const [name, newName] = [call.option('baseline'), call.option('write-baseline')];
  if (newName === undefined) return name === undefined ? undefined : baselineOrRefuse(name);
  if (name !== undefined) throw new UsageError('Use either `--baseline` or `--write-baseline`, not both.');
  if (problems.length > 0) {
    throw new UsageError(`${problems.join(' ')} ${newName} was not written because it would be incomplete.`);
  }
  const baseline = baselineOf(newName, files);
  const refusal = writeWhole(newName, baselineText(baseline));
  if (refusal) throw new UsageError(refusal);
  call.terminal.err(`enginewright: ${counted(baseline.entries.length, 'finding')} written to ${newName}.\n`);
  return baseline;
}

/** The files, with the findings in the baseline listed separately; reports how many those are on the error output. */
export function passBaseline(
  call: Call,
  files: readonly CheckedFile[],
  problems: readonly string[],
): readonly CheckedFile[] {
  const baseline = baselineFor(call, files, problems);
  if (!baseline) return files;
  const { terminal } = call;
  const applied = applyBaseline(baseline, files);
  const known = applied.files.reduce((sum, one) => sum + (one.known?.length ?? 0), 0);
  const gone = applied.gone.length;
  if (known > 0)
    terminal.err(`enginewright: ${counted(known, 'finding')} ignored (listed in ${baseline.name}).\n`);
  if (gone > 0) {
    const what = `${baseline.name} lists ${counted(gone, 'finding')} that no longer exist${gone === 1 ? 's' : ''}`;
    terminal.err(`enginewright: ${what}; update it with \`--write-baseline\`.\n`);
  }
  return applied.files;
}
