import type { ImageForm } from '../../shared/image/image-file.ts';
import { witnessTexts } from '../../shared/proof/witness.ts';
import { imageOf, imageProblems } from '../images.ts';
import { boundsOf, IMAGE_NAMES, releaseFiles } from '../release/contents.ts';
import { isMade, makeFolder } from '../release/make-release.ts';
import { analysesOf, judgementsOf, readSources } from '../release/sources.ts';
import { type Call, type Command, type Status, UsageError } from './command.ts';

export const release: Command = {
  options: {
    output: { value: 'DIR', meaning: 'folder of the release; it must not contain anything else' },
    format: {
      value: 'FORMS',
      meaning: 'forms of the image, separated by commas: hex, srec, bin (default: hex)',
    },
  },
  description: `Makes the folder with everything to archive and hand on: the image, a listing of the stored values, the report, findings, bounds,
derived values, the files that it was made from, an overview for people (README.txt), and a manifest with the digest of each file.

A release is refused if \`check\` finds an error, if \`prove\` finds a broken limit, or if the image cannot be built. The written image is read again and
compared with the engine file. The folder is made whole or not at all. It contains no time, host or path of this machine: the same files give the same bytes.

\`enginewright verify DIR\` checks a release. To sign it, sign its manifest.json; the README of the program shows how.

Exit status: 0 if the folder was made or already contains exactly this release, 1 if the release was refused, 2 otherwise.`,
  run(call): Status {
    const { operands, option, terminal } = call;
    const [name, ...more] = operands;
    if (name === undefined || more.length > 0) throw new UsageError('`release` takes one engine file.');
    const output = option('output');
    if (output === undefined) throw new UsageError('`release` needs `--output` with the folder to make.');
    const forms = formsOf(call);
    const sources = readSources(name, 'release');
    const built = imageOf(sources.analysis.installation, name);
    const problems = imageProblems(analysesOf(sources), built);
    const bounds = problems.length > 0 ? [] : boundsOf(sources);
    for (const broken of bounds.filter(({ verdict }) => verdict === 'broken')) {
      const { label, limit } = broken;
      const state = Object.values(witnessTexts(broken)).join(', ');
      problems.push(`${label} is beyond ${limit!.at} (${limit!.kind.label}) at ${state}.`);
    }
    if (problems.length > 0) {
      for (const problem of problems) terminal.err(`${problem}\n`);
      terminal.err(`enginewright: no release of ${name} was made.\n`);
      return 1;
    }
    const files = releaseFiles(sources, built, bounds, forms);
    if (isMade(output, files)) {
      terminal.out(`${output} already contains this release.\n`);
      return 0;
    }
    makeFolder(output, files);
    const open = bounds.filter(({ verdict }) => verdict === 'open').length;
    const { accepted } = judgementsOf(sources);
    terminal.out(
      `${output}: ${files.length} files, digest ${built.digest}, ${accepted.length} accepted, ${open} open.\n`,
    );
    return 0;
  },
};

function formsOf({ option }: Call): ImageForm[] {
  const forms = new Set((option('format') ?? 'hex').split(',').map((form) => form.trim()));
  const wrong = [...forms].find((form) => !Object.hasOwn(IMAGE_NAMES, form));
  if (wrong !== undefined)
    throw new UsageError(
      `\`--format\` cannot be \`${wrong}\`; use \`hex\`, \`srec\` or \`bin\`, separated by commas.`,
    );
  return [...forms] as ImageForm[];
}
