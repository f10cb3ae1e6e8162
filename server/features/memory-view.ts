import { sha256 } from '#host';
import type { Analysis } from '../../shared/analysis.ts';
import { counted } from '../../shared/counted.ts';
import { readImage } from '../../shared/image/image-file.ts';
import { hexAddress, hexText } from '../../shared/image/memory.ts';
import type { Node } from '../../shared/source/tree.ts';
import { homecoming } from '../../shared/storage/homecoming.ts';
import { buildImage, fillOf, type StorageImage } from '../../shared/storage/image.ts';
import { keptText } from '../../shared/storage/kept-text.ts';
import {
  checksumsOf,
  identityRegion,
  isInside,
  partsOf,
  type Region,
  spanOf,
} from '../../shared/storage/layout.ts';
import { addressOfCell, type StoredCell, type StoredPart } from '../../shared/storage/stored-parts.ts';
import { compareImage, matches } from '../../shared/storage/verify.ts';
import type { Editor } from '../editor.ts';
import { plainText } from '../plain-text.ts';
import type { ImageTextsAnswer } from '../protocol.ts';
import { editedTexts } from '../texts-after-edits.ts';
import { answerCustom, type Feature } from './feature.ts';
import { engineOf } from './installation-view.ts';
import { placesOf } from './installation-view-places.ts';
import type { MemoryCell, MemoryRegion, MemoryView } from './memory-view-types.ts';

export const memoryViews: Feature = {
  capabilities: {},
  listen: (connection, { from }) => {
    answerCustom(
      connection,
      'enginewright/memoryView',
      from((analysis, _, editor, workspace) => memoryViewOf(engineOf(analysis, workspace), editor)),
    );
    answerCustom(
      connection,
      'enginewright/imageTexts',
      from((analysis, { name, contents }, editor) => imageTextsOf(analysis, name, bytesOf(contents), editor)),
    );
  },
};

const bytesOf = (base64: string): Uint8Array =>
  Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0));

/** The image of an engine; null without a storage of known size. */
function memoryViewOf(analysis: Analysis, editor: Editor): MemoryView | null {
  const { installation } = analysis;
  const built = installation && buildImage(installation, sha256);
  if (!built) return null;
  const placeOf = placesOf(analysis, editor);
  const { window, bytes, digest, faults } = built;
  const regions = viewRegions(built, placeOf);
  const touched = touchedRows(regions);
  return {
    title: titleOf(analysis),
    base: window.base,
    size: window.size,
    rows: touched.slice(0, MOST_ROWS).map((row) => ({
      at: row * ROW,
      bytes: hexText(bytes.subarray(row * ROW, (row + 1) * ROW)),
    })),
    left: Math.max(0, touched.length - MOST_ROWS),
    summary: `${counted(window.size, 'byte')} from ${hexAddress(window.base)}, digest ${digest.slice(0, 12)}`,
    problems: faults.map(({ node, message }) => ({ message: plainText(message), place: placeOf(node) })),
    regions,
  };
}

/** Bytes in a row. */
const ROW = 16;

/** More than 100 kB of values; a panel with many more cannot be drawn, or read. */
const MOST_ROWS = 8192;

/** Everything that has a place, cut to the image: what is beyond its end is one of the problems. */
function viewRegions(
  { storage, window, parts }: StorageImage,
  placeOf: (node: Node) => MemoryCell['place'],
): MemoryRegion[] {
  const view = (kind: MemoryRegion['kind'], { start, end, node, label }: Region, stored?: StoredPart) => ({
    label: label.replace(/^the /, ''),
    kind,
    start: Math.max(0, start),
    end: Math.min(end, window.size),
    place: placeOf(node),
    cells: (stored?.cells ?? [])
      .map((cell) => cellView(stored!, cell, placeOf(cell.node)))
      .filter(({ at, bytes }) => isInside(at, at + bytes, window)),
  });
  const storedAs = new Map(parts.map((stored) => [`${stored.part.name} ${stored.key}`, stored]));
  const fields = Object.entries(storage.fields ?? {}).flatMap(([key, field]) =>
    partsOf(field).map((part) => {
      const { name, at } = part;
      const label = name === 'values' ? key : `${key}, ${name} axis`;
      const [start, end] = spanOf(part);
      const region = { label, node: at.node, start, end };
      return view(name === 'values' ? 'values' : 'axis', region, storedAs.get(`${name} ${key}`));
    }),
  );
  const identity = identityRegion(storage);
  return [
    ...fields,
    ...(identity ? [view('identity', identity)] : []),
    ...checksumsOf(storage).map((one) => view('checksum', one)),
  ]
    .filter(({ start, end }) => end > start)
    .sort((a, b) => a.start - b.start || a.end - b.end);
}

/** The numbers of the rows that regions touch. */
function touchedRows(regions: readonly MemoryRegion[]): number[] {
  const rows: number[] = [];
  for (const { start, end } of regions) {
    const first = Math.max(Math.floor(start / ROW), (rows.at(-1) ?? -1) + 1);
    for (let row = first; row * ROW < end; row++) rows.push(row);
  }
  return rows;
}

const titleOf = ({ installation, file }: Analysis): string =>
  installation?.configuration.title?.text ?? file.path.slice(file.path.lastIndexOf('/') + 1);

function cellView(part: StoredPart, cell: StoredCell, place: MemoryCell['place']): MemoryCell {
  const { number, word, raw } = cell;
  const kept = number && keptText(number);
  const written = number ? number.written.node.text.slice(...number.written.digits) : word!;
  const text = `${written} ${part.unit}`.trim();
  const rounding = kept === undefined ? '' : `, kept as ${kept} ${part.unit}`.trimEnd();
  return {
    at: addressOfCell(part, cell),
    bytes: part.part.type.bytes,
    text: `${text}, stored as ${raw}${rounding}`,
    place,
  };
}

/** The texts of the files if they said what an image file holds, for a comparison with the current ones. */
function imageTextsOf(
  analysis: Analysis,
  name: string,
  contents: Uint8Array,
  editor: Editor,
): ImageTextsAnswer {
  const built = analysis.installation && buildImage(analysis.installation, sha256);
  const empty = { texts: [], matches: false, notes: [] };
  if (!built) return { ...empty, problem: 'The file has no controller with a storage of known size.' };
  if (built.faults[0]) return { ...empty, problem: plainText(built.faults[0].message) };
  return textsOfImage(analysis, built, name, contents, editor);
}

/** Notes of single values; an empty image would have thousands. */
const MOST_NOTES = 3;

function textsOfImage(
  { files }: Analysis,
  built: StorageImage,
  name: string,
  contents: Uint8Array,
  editor: Editor,
): ImageTextsAnswer {
  const memory = readImage(name, contents, built.window, fillOf(built.storage));
  if ('message' in memory) {
    const line = memory.line === undefined ? '' : `, line ${memory.line}`;
    return { texts: [], matches: false, notes: [], problem: `${name}${line}: ${plainText(memory.message)}.` };
  }
  const differences = compareImage(built, memory);
  const { edits, faults } = homecoming(built, differences.cells);
  const edited = new Map(editedTexts(files, edits).map(({ path, is }) => [path, is]));
  const { checksums, elsewhere } = differences;
  return {
    texts: files.map(({ path, text }) => ({ uri: editor.uriOf(path), text: edited.get(path) ?? text })),
    matches: matches(differences),
    notes: [
      ...faults.slice(0, MOST_NOTES).map(({ message }) => plainText(message)),
      ...(faults.length > MOST_NOTES
        ? [`${counted(faults.length - MOST_NOTES, 'more value')} cannot be written.`]
        : []),
      ...checksums.map(
        ({ checksum }) => `The ${checksum.kind} at ${hexAddress(checksum.start)} does not fit the image.`,
      ),
      ...(elsewhere.length > 0 ? [`Bytes of no value differ from ${hexAddress(elsewhere[0]!.at)} on.`] : []),
    ],
  };
}
