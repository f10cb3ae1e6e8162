import { formOfName, type ImageForm } from '../../shared/image/image-file.ts';
import { listingJson, listingText } from '../formats/image-listing.ts';
import { controllerAnalyses, imageContents, imageOf, imageProblems } from '../images.ts';
import { writeWhole } from '../whole-file.ts';
import { type Command, type Status, UsageError } from './command.ts';
import { engineAnalysis } from './engine-file.ts';

const FORMS: readonly string[] = ['hex', 'srec', 'bin'] satisfies ImageForm[];

export const image: Command = {
  options: {
    output: {
      value: 'FILE',
      meaning:
        'write the image to this file; its ending gives the form: .hex, .s19, .s28, .s37, .srec or .bin',
    },
    format: {
      choices: ['text', 'json', 'hex', 'srec', 'bin'],
      meaning: 'form of the image, or format of the listing',
    },
  },
  description: `Builds the storage image of an engine: the bytes that its controller holds, as the layout in the controller
file says. Without --output a listing is printed: each stored value with its address, its count and what the controller keeps of it.

Nothing is written if \`check\` finds an error, or if a value cannot be stored as the file says, to within half a count.

Intel HEX and S-records contain every byte of the image, also those of no field.

Exit status: 0 if the image was built, 1 if it was refused, 2 if the file could not be read.`,
  run({ operands, option, terminal }): Status {
    const [name, ...more] = operands;
    if (name === undefined || more.length > 0) throw new UsageError('`image` takes one engine file.');
    const analysis = engineAnalysis(name, 'image');
    const built = imageOf(analysis.installation, name);
    const [output, format] = [option('output'), option('format')!];
    const stated = FORMS.includes(format) ? (format as ImageForm) : undefined;
    const form = stated ?? (output === undefined ? undefined : formOfName(output));
    if (output !== undefined && !form && format !== 'json') {
      throw new UsageError(
        `The ending of ${output} does not say in which form to write the image; add \`--format hex\`, \`srec\` or \`bin\`.`,
      );
    }
    if (output === undefined && form === 'bin') throw new UsageError('`--format bin` needs `--output`.');
    const problems = imageProblems([analysis, ...controllerAnalyses(analysis.files)], built);
    if (problems.length > 0) {
      for (const problem of problems) terminal.err(`${problem}\n`);
      terminal.err(`enginewright: no image of ${name} was written.\n`);
      return 1;
    }
    const contents = form && imageContents(built, analysis.installation, form, output ?? '');
    if (output !== undefined) {
      const refusal = writeWhole(output, contents ?? listingJson(built));
      if (refusal) throw new UsageError(refusal);
      if (contents && format === 'json') terminal.out(listingJson(built));
      if (format !== 'json') terminal.out(`${output}: ${built.bytes.length} bytes, digest ${built.digest}\n`);
    } else if (contents) terminal.out(new TextDecoder().decode(contents));
    else terminal.out(format === 'json' ? listingJson(built) : listingText(built));
    return 0;
  },
};
