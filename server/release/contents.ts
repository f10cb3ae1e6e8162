import type { EngineSubject } from '../../shared/checks/check.ts';
import { faultTableOver } from '../../shared/faults/envelope.ts';
import type { ImageForm } from '../../shared/image/image-file.ts';
import { fullProofOf, type JudgedBound, judgements, type LimitedBound } from '../../shared/limits/verdict.ts';
import type { StorageImage } from '../../shared/storage/image.ts';
import { valueGroups } from '../commands/derive.ts';
import { checkSarif } from '../formats/check-sarif.ts';
import { deriveJson } from '../formats/derive-json.ts';
import { listingJson } from '../formats/image-listing.ts';
import { proveJson } from '../formats/prove-json.ts';
import { dossierPage } from '../formats/report-html/page.ts';
import { imageContents } from '../images.ts';
import type { TextLayout } from '../terminal.ts';
import { MANIFEST, manifestText, type ReleaseFile } from './manifest.ts';
import { overviewText } from './overview.ts';
import type { Sources } from './sources.ts';

/** The name of the image in a form: the ending says it to every program. */
export const IMAGE_NAMES: Readonly<Record<ImageForm, string>> = {
  hex: 'image.hex',
  srec: 'image.s37',
  bin: 'image.bin',
};

/** The bounds of a release, searched without a time limit, so that they are the same on every machine. */
export function boundsOf({ analysis }: Sources): readonly JudgedBound[] {
  const subject = analysis.subject as EngineSubject;
  return [...fullProofOf(subject).bounds()].flatMap((bound) => judgements(bound, subject));
}

const isLimited = (bound: JudgedBound): bound is LimitedBound => bound.limit !== undefined;

/** Every file of a release, the manifest last. */
export function releaseFiles(
  sources: Sources,
  built: StorageImage,
  bounds: readonly JudgedBound[],
  forms: readonly ImageForm[],
): ReleaseFile[] {
  const { analysis, controllers, name, revision, fileName } = sources;
  const subject = analysis.subject as EngineSubject;
  const groups = valueGroups(analysis.derivation);
  const proof = fullProofOf(subject);
  const images = forms.map((form) => {
    const file = IMAGE_NAMES[form];
    return { name: file, contents: imageContents(built, analysis.installation, form, file) };
  });
  const report = dossierPage({
    ...{ name, analysis, revision, fileName, groups, envelope: proof.envelope },
    bounds: bounds.filter(isLimited),
    faults: faultTableOver(subject, proof, bounds),
  });
  const basis = { sources, built, bounds };
  const files: ReleaseFile[] = [
    { name: 'README.txt', contents: overviewText(basis, images) },
    ...images,
    { name: 'listing.json', contents: listingJson(built) },
    { name: 'report.html', contents: report },
    {
      name: 'findings.sarif',
      contents: checkSarif.write({ files: [{ name, analysis }, ...controllers] }, PLAIN),
    },
    {
      name: 'bounds.json',
      contents: proveJson.write({ files: [{ name, envelope: proof.envelope, bounds }] }, PLAIN),
    },
    {
      name: 'values.json',
      contents: deriveJson.write({ name, groups, derivation: analysis.derivation }, PLAIN),
    },
    ...analysis.files.map(({ path, text }) => ({ name: fileName(path), contents: text })),
  ];
  return [...files, { name: MANIFEST, contents: manifestText(files, basis) }];
}

/** These formats are for programs and have no layout. */
const PLAIN = {} as TextLayout;
