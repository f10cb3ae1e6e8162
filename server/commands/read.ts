import { readController } from '../../shared/configuration/installation.ts';
import { fileKind } from '../../shared/configuration/project.ts';
import { counted } from '../../shared/counted.ts';
import { decodeImage } from '../../shared/storage/decode.ts';
import { sizeFaults, windowOf } from '../../shared/storage/image.ts';
import { patchText, writeEdited } from '../edited-texts.ts';
import { diskProject, projectPath, readablePath, refusalOf } from '../files.ts';
import { imageValuesJson, imageValuesText } from '../formats/image-values.ts';
import { faultTexts, memoryOf } from '../images.ts';
import { plainText } from '../plain-text.ts';
import { editedTexts } from '../texts-after-edits.ts';
import { verification } from '../verification.ts';
import { type Call, type Command, type Status, UsageError } from './command.ts';
import { engineAnalysis } from './engine-file.ts';

export const read: Command = {
  options: {
    controller: { value: 'FILE', meaning: 'controller file with the layout of the image' },
    into: {
      value: 'ENGINE',
      meaning: 'print the changes that make this engine file say what the image holds, as a patch',
    },
    write: { meaning: 'with --into: change the files instead of printing the patch' },
    format: { choices: ['text', 'json'], meaning: 'output format of the values' },
  },
  description: `Prints the values in an image as an engine file writes them. The layout is that of --controller.

With --into, a change made at the running engine comes home: each value that differs from the engine file by more than half a count
becomes an edit of its number, in the unit and with the decimals of the text; everything else stays. \`git apply\` takes the printed
patch, and --write makes the edits. The layout is that of the engine file's controller.

Exit status: 0 if the values were read, 1 if the text cannot say some of them, 2 if something could not be read.`,
  run(call): Status {
    const [image, ...more] = call.operands;
    if (image === undefined || more.length > 0) throw new UsageError('`read` takes one image.');
    const [into, controller] = [call.option('into'), call.option('controller')];
    if (into !== undefined) return bringHome(call, image, into, controller);
    if (call.option('write') !== undefined) throw new UsageError('`--write` needs `--into`.');
    if (controller === undefined)
      throw new UsageError('`read` needs `--controller` with the layout of the image.');
    const refusal = refusalOf(controller);
    if (refusal) throw new UsageError(refusal);
    const source =
      fileKind(controller) === 'controller'
        ? diskProject([controller]).source(projectPath(controller))
        : undefined;
    if (!source) throw new UsageError(`${controller} is not a controller file (*.controller.yaml).`);
    const { configuration } = readController(source);
    const { storage } = configuration;
    const window = storage && windowOf(storage);
    if (!storage || !window)
      throw new UsageError(`${controller} states no \`storage\` with a \`size\` of up to 64 MiB.`);
    const broken = faultTexts([source], sizeFaults(storage));
    if (broken.length > 0) throw new UsageError(broken.join('\n'));
    const parts = decodeImage(configuration, memoryOf(image, { window, storage }));
    const isJson = call.option('format') === 'json';
    call.terminal.out(isJson ? imageValuesJson(parts) : imageValuesText(parts, image, controller));
    return 0;
  },
};

function bringHome(
  { option, terminal }: Call,
  image: string,
  into: string,
  controller: string | undefined,
): Status {
  const analysis = engineAnalysis(into, 'read --into');
  const own = analysis.files.find(({ path }) => fileKind(path) === 'controller');
  if (controller !== undefined && own?.path !== projectPath(controller)) {
    throw new UsageError(
      `${into} is for ${own ? readablePath(own.path) : 'no controller'}, not for ${controller}.`,
    );
  }
  const { homecoming, differences } = verification(image, into, analysis);
  const edited = editedTexts(analysis.files, homecoming.edits);
  if (option('write') === undefined) terminal.out(patchText(edited));
  else {
    writeEdited(edited);
    const names = edited.map(({ path }) => readablePath(path)).join(', ');
    terminal.out(
      edited.length === 0
        ? `${into} says what the image holds.\n`
        : `${counted(homecoming.edits.length, 'number')} changed in ${names}.\n`,
    );
  }
  for (const { message } of homecoming.faults) terminal.err(`enginewright: ${plainText(message)}\n`);
  if (differences.elsewhere.length + differences.checksums.length > 0) {
    terminal.err(
      `enginewright: bytes outside these values differ too; \`enginewright verify ${image} ${into}\` lists them.\n`,
    );
  }
  return homecoming.faults.length > 0 ? 1 : 0;
}
