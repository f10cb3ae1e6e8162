import { type Analysis, analyse } from '../shared/analysis.ts';
import { type Comparison, compareAnalyses } from '../shared/compare/comparison.ts';
import { fileKind } from '../shared/configuration/project.ts';
import { type Homecoming, homecoming } from '../shared/storage/homecoming.ts';
import type { StorageImage } from '../shared/storage/image.ts';
import { compareImage, type ImageDifferences } from '../shared/storage/verify.ts';
import { UsageError } from './commands/command.ts';
import { type EngineAnalysis, wholeAnalysis } from './commands/engine-file.ts';
import { faultTexts, imageOf, memoryOf } from './images.ts';
import { sideOf } from './sides.ts';
import { editedProject, editedTexts } from './texts-after-edits.ts';

/** An image, compared with what an engine file says. */
export interface Verification {
  /** The engine file and the image, as the user named them. */
  readonly name: string;
  readonly image: string;
  readonly analysis: EngineAnalysis;
  readonly built: StorageImage;
  readonly differences: ImageDifferences;
  /** The number of bytes of the layout that the image file does not contain. */
  readonly missing: number;
  /** The edits that would make the text say what the image holds. */
  readonly homecoming: Homecoming;
  /** The analysis of the text with these edits; undefined if no value differs. */
  readonly changed: Analysis | undefined;
  /** What the different values do to the engine. */
  readonly comparison: Comparison | undefined;
}

/** The analysis of an engine file on disk or at a revision. Throws a `UsageError` if there is none. */
export function engineAt(name: string): EngineAnalysis {
  const side = sideOf(name);
  const engines = [...side.files.values()].filter(({ path }) => fileKind(path) === 'engine');
  if (side.isFolder || engines.length !== 1)
    throw new UsageError(`${name} is not one engine file (*.engine.yaml).`);
  return wholeAnalysis(side.project, engines[0]!.path, name);
}

/** Compares an image file with an analysed engine file. Throws a `UsageError` if one of them cannot be used. */
export function verification(
  image: string,
  name: string,
  analysis: EngineAnalysis,
  hasTime?: () => boolean,
): Verification {
  const built = imageOf(analysis.installation, name);
  const problems = faultTexts(analysis.files, built.faults);
  if (problems.length > 0) {
    throw new UsageError(`${name} has no image to compare with:\n${problems.join('\n')}`);
  }
  const memory = memoryOf(image, built);
  const differences = compareImage(built, memory);
  const home = homecoming(built, differences.cells);
  const changed = home.edits.length > 0 ? changedAnalysis(analysis, home) : undefined;
  const comparison = changed && compareAnalyses(analysis, changed, hasTime);
  const missing = memory.missingCount;
  return { name, image, analysis, built, differences, missing, homecoming: home, changed, comparison };
}

function changedAnalysis({ files, file }: EngineAnalysis, { edits }: Homecoming): Analysis | undefined {
  return analyse(editedProject(files, editedTexts(files, edits)), file.path);
}
