import {
  type DocumentSymbol,
  type DocumentSymbolParams,
  type SymbolInformation,
  SymbolKind,
} from 'vscode-languageserver';
import type { Analysis } from '../../shared/analysis.ts';
import { rootShape } from '../../shared/configuration/schemas.ts';
import { childShape, type Shape } from '../../shared/configuration/shape.ts';
import { counted } from '../../shared/counted.ts';
import { extentOfEntry, isBehind } from '../../shared/source/extent.ts';
import type { SourceFile } from '../../shared/source/source-file.ts';
import type { MappingNode } from '../../shared/source/tree.ts';
import { rangeBetween, rangeOf } from '../places.ts';
import type { Feature } from './feature.ts';

export const documentSymbols: Feature = {
  capabilities: { documentSymbolProvider: true },
  listen: (connection, { from }) => {
    connection.onDocumentSymbol(
      from<DocumentSymbolParams, DocumentSymbol[] | SymbolInformation[]>(
        (analysis, { textDocument: { uri } }, { symbolTree }) =>
          symbolTree ? symbolsOf(analysis) : listed(symbolsOf(analysis), uri),
      ),
    );
  },
};

/** The sections and the named things in them: sensors, outputs, operating points, tables with their size. Single values are left out. */
export function symbolsOf({ file, kind }: Pick<Analysis, 'file' | 'kind'>): DocumentSymbol[] {
  return symbolsIn(file, file.root, rootShape(kind));
}

/** The symbols as a flat list, for an editor whose outline has no tree. */
function listed(
  symbols: readonly DocumentSymbol[],
  uri: string,
  containerName?: string,
): SymbolInformation[] {
  return symbols.flatMap(({ name, kind, range, children }) => [
    { name, kind, location: { uri, range }, ...(containerName !== undefined && { containerName }) },
    ...listed(children ?? [], uri, name),
  ]);
}

function symbolsIn(file: SourceFile, mapping: MappingNode, shape: Shape | undefined): DocumentSymbol[] {
  return mapping.entries.flatMap((entry) => {
    const { key, value } = entry;
    // The text of an alias is elsewhere, and is listed there.
    if (value.type !== 'mapping' || key.text === '' || !isBehind(file, entry)) return [];
    const { start, end } = extentOfEntry(file, entry);
    const child = childShape(shape, key.text);
    const isTable = child?.table !== undefined && value.get('x') !== undefined;
    const isNamed = shape?.properties.has(key.text) === false;
    return [
      {
        name: key.text,
        detail: isTable ? tableSize(value) : isNamed ? firstValues(value) : '',
        kind: isTable ? SymbolKind.Array : isNamed ? SymbolKind.Object : SymbolKind.Module,
        range: rangeBetween(file, start, end),
        selectionRange: rangeOf(file, key),
        children: isTable || child?.relation ? [] : symbolsIn(file, value, child),
      },
    ];
  });
}

/** `16 × 12, %` for a map: columns, rows and unit; `9 breakpoints, ms` for a curve. */
function tableSize(table: MappingNode): string {
  const sizes = ['x', 'y'].flatMap((axis) => {
    const node = table.get(axis);
    const breakpoints = node?.type === 'mapping' ? node.get('breakpoints') : undefined;
    return breakpoints?.type === 'sequence' ? [breakpoints.items.length] : [];
  });
  const unit = table.get('unit');
  const size = sizes.length === 1 ? counted(sizes[0]!, 'breakpoint') : sizes.join(' × ');
  return [size, unit?.type === 'scalar' ? unit.text : ''].filter(Boolean).join(', ');
}

/** The first two values of a thing, which distinguish it from the others in its section. */
function firstValues({ entries }: MappingNode): string {
  const texts: string[] = [];
  for (const { value } of entries) if (value.type === 'scalar' && texts.length < 2) texts.push(value.text);
  return texts.join(' · ');
}
