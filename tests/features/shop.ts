import type { Location, Position, Range } from 'vscode-languageserver/node';
import { Workspace } from '../../server/workspace.ts';
import { type Analysis, searched } from '../../shared/analysis.ts';
import { finished } from '../../shared/proof/search.ts';
import { LineIndex } from '../../shared/source/lines.ts';
import type { SourceFile } from '../../shared/source/source-file.ts';

/**
 * The files of a workshop in one text, with `#-- NAME` above each. `$0` marks the cursor in the only open file; `$[`
 * and `]$` enclose the expected places.
 */
export interface Shop {
  readonly workspace: Workspace;
  readonly texts: ReadonlyMap<string, string>;
  readonly analysis: Analysis;
  readonly file: SourceFile;
  readonly position: Position;
}

const FOLDER = 'file:///shop';
const MARKS = /\$0|\$\[|\]\$/g;

export function shop(fixture: string): Shop {
  const parts = fixture.split(/^#-- (.+)\n/m).slice(1);
  const texts = new Map<string, string>();
  let open: { name: string; offset: number } | undefined;
  for (let i = 0; i < parts.length; i += 2) {
    const [name, marked] = [parts[i]!, parts[i + 1]!];
    const offset = marked.replaceAll(/\$\[|\]\$/g, '').indexOf('$0');
    if (offset >= 0) open = { name, offset };
    texts.set(name, marked.replaceAll(MARKS, ''));
  }
  if (!open) throw new Error('no $0 marks the cursor');
  const { name, offset } = open;
  const workspace = workspaceOf(texts);
  workspace.rewrite(`${FOLDER}/${name}`, [{ text: texts.get(name)! }]);
  const uri = `${FOLDER}/${name}`;
  const analysis = completeAnalysis(workspace, uri);
  const { file } = analysis;
  return { workspace, texts, analysis, file, position: file.lines.position(offset) };
}

/** The analysis of an open document as it is when nobody has typed for a while. */
export function completeAnalysis(workspace: Workspace, uri: string): Analysis {
  workspace.complete(finished(searched(workspace.analysis(uri)!)));
  return workspace.analysis(uri)!;
}

/** A window on the folder with these files. */
export function workspaceOf(texts: ReadonlyMap<string, string>): Workspace {
  const path = (name: string) => `/shop/${name}`;
  const workspace = new Workspace({
    read: (wanted) => texts.get(wanted.replace('/shop/', '')),
    list: () => [...texts.keys()].map(path),
  });
  workspace.setFolders([FOLDER]);
  return workspace;
}

/** The fixture with `$[` and `]$` around the given places, for comparison with `expected`. */
export function markedWith({ texts }: Shop, places: readonly Location[] | null): string {
  const marked = [...texts].map(([name, text]) => {
    const own = (places ?? []).filter(({ uri }) => uri === `${FOLDER}/${name}`);
    return `#-- ${name}\n${withMarks(
      text,
      own.map(({ range }) => range),
    )}`;
  });
  return marked.join('');
}

/** A text with `$[` and `]$` around each of the ranges, which do not overlap. */
export function withMarks(text: string, ranges: readonly Range[]): string {
  const lines = new LineIndex(text);
  return ranges
    .map(({ start, end }) => ({ start: lines.offset(start), end: lines.offset(end) }))
    .sort((a, b) => b.start - a.start)
    .reduce(
      (marked, { start, end }) =>
        `${marked.slice(0, start)}$[${marked.slice(start, end)}]$${marked.slice(end)}`,
      text,
    );
}

export const expected = (fixture: string): string => fixture.replaceAll('$0', '');
