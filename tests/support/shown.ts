import './verify-caches.ts';
import { editorOf } from '../../server/editor.ts';
import { lensesIn } from '../../server/features/code-lenses.ts';
import { diagnosticsOf } from '../../server/features/diagnostics.ts';
import { symbolsOf } from '../../server/features/document-symbols.ts';
import { hoverAt } from '../../server/features/hover.ts';
import { inlayHintsIn } from '../../server/features/inlay-hints.ts';
import { installationViewOf } from '../../server/features/installation-view.ts';
import { oldValues } from '../../server/features/review-hints.ts';
import { reviewItems } from '../../server/features/review-tree.ts';
import { tokensOf } from '../../server/features/semantic-tokens.ts';
import { tableViewAt } from '../../server/features/table-view.ts';
import type { Workspace } from '../../server/workspace.ts';
import type { Analysis } from '../../shared/analysis.ts';
import { compareAnalyses } from '../../shared/compare/comparison.ts';
import { fileValues, pointValues } from '../../shared/derived/registry.ts';
import { sensitivitiesOf } from '../../shared/derived/sensitivity.ts';
import type { DerivedValue, Input, Operand, Result } from '../../shared/derived/value.ts';
import type { Node } from '../../shared/source/tree.ts';
import { tablesIn } from '../../shared/tables/block.ts';

export { Workspace } from '../../server/workspace.ts';
export { analyse } from '../../shared/analysis.ts';
export { createProject } from '../../shared/configuration/project.ts';

/**
 * Everything that the program shows, by topic, as plain data. All of it is read, because much of an analysis is
 * computed only on demand.
 */
export type Shown = Readonly<Record<string, unknown>>;

const editor = editorOf({
  capabilities: { textDocument: { hover: { contentFormat: ['markdown'] } } },
  initializationOptions: { showPlaces: 'show' },
  processId: null,
  rootUri: null,
});

/** What depends on an analysis alone: on its file, base files and controller file. */
export function shownOf(analysis: Analysis): Shown {
  const { file, findings, accepted } = analysis;
  return plain({
    files: analysis.files.map(({ path }) => path),
    findings,
    accepted,
    diagnostics: diagnosticsOf(analysis, editor),
    values: derivedIn(analysis),
    ...hintsAndHovers(analysis),
    view: installationViewOf(analysis, editor),
    tables: tablesIn(analysis).map(({ table }) =>
      tableViewAt(analysis, { textDocument: { uri: '' }, position: placeOfTable(analysis, table.node) }),
    ),
    symbols: symbolsOf(analysis),
    tokens: tokensOf(analysis).data,
    text: file.text,
  });
}

/** The part of `shownOf` that an editor shows in the text and at the pointer. */
export function hintsAndHovers(analysis: Analysis): Shown {
  return plain({
    hints: inlayHintsIn(analysis, { range: WHOLE }, editor),
    hovers: hoversIn(analysis),
  });
}

/** The review of one state of a file against an earlier one. */
export function reviewShown(was: Analysis, is: Analysis): Shown {
  const comparison = compareAnalyses(was, is);
  return plain({
    changes: comparison.changes.map(({ type }) => type),
    values: comparison.consequences
      .filter((one) => one.type !== 'bound' && one.type !== 'fault')
      .map((one) =>
        one.type === 'value'
          ? { at: one.at, id: one.id, was: one.was?.canonical, is: one.is?.canonical, limit: one.limit }
          : { rule: one.rule, finding: one.finding.message, is: one.is },
      ),
    items: reviewItems(is, comparison, editor),
    oldValues: oldValues(is, comparison.changes),
  });
}

/** What is shown of a file but depends on every file of the workspace: the uses of the things in it. */
export function usesShown(analysis: Analysis, workspace: Workspace): Shown {
  const lenses = lensesIn(analysis, editor, workspace);
  return plain({ lenses: lenses.map((lens) => ({ range: lens.range, command: lens.command() })) });
}

const WHOLE = { start: { line: 0, character: 0 }, end: { line: 1e6, character: 0 } };

function placeOfTable({ file }: Analysis, node: Node) {
  return file.lines.position(file.chunks.get(node.chunk)! + node.start);
}

/** Hovers at the first word of each line, and at another position in it. */
function hoversIn(analysis: Analysis): unknown[] {
  return analysis.file.text.split('\n').flatMap((text, line) => {
    const places = [text.search(/\S/), (line * 13) % (text.length + 1)];
    return places.map((character) => hoverAt(analysis, { position: { line, character } }));
  });
}

function derivedIn({ files, derivation }: Analysis): unknown {
  if (!derivation) return null;
  const writer = new ValueWriter(files);
  return {
    ofFile: fileValues.map((definition) => [
      definition.id,
      derivation.get(definition).map((value) => writer.value(value)),
    ]),
    points: derivation.points.map((point) => ({
      name: point.name,
      place: writer.place(point.node),
      conditions: Object.entries(point.conditions).map(([name, one]) => [name, one && writer.operand(one)]),
      values: pointValues.map((definition) => {
        const value = point.get(definition);
        return value ? writer.value(value) : definition.id;
      }),
    })),
    all: writer.all,
  };
}

/** Converts values to plain data, each once and by its contents; object identity does not matter. */
class ValueWriter {
  readonly all: unknown[] = [];
  readonly #numbers = new Map<string, number>();
  readonly #known = new Map<object, number>();

  constructor(readonly files: Analysis['files']) {}

  value(value: DerivedValue): number {
    return this.#once(value, () => {
      const { id, label, canonical, unit, show, reported, formula, substituted, sources, at, note } = value;
      return {
        ...{ id, label, canonical, unit, show, reported, formula, substituted, sources, at, note },
        place: this.place(value.node),
        movers: sensitivitiesOf(value).map(({ node, percentPerPercent }) => [
          this.place(node),
          percentPerPercent,
        ]),
        inputs: value.inputs.map((input) => this.#input(input)),
      };
    });
  }

  operand({ canonical, node, derived, between, how }: Operand): unknown {
    return {
      canonical,
      how,
      place: node && this.place(node),
      derived: derived && this.value(derived),
      between: between && this.#result(between),
    };
  }

  /** The file, offsets and text of a node; a node of another version is nowhere. */
  place({ chunk, start, end }: Node): unknown {
    const at = this.files.find(({ path }) => path === chunk.file)?.chunks.get(chunk);
    if (at === undefined) return `nowhere in ${chunk.file}`;
    return [chunk.file, at + start, at + end, chunk.text.slice(start, end)];
  }

  #result(result: Result): number {
    return this.#once(result, () => ({
      canonical: result.canonical,
      formula: result.formula.expression,
      note: result.note,
      inputs: result.inputs.map((input) => this.#input(input)),
    }));
  }

  #input(input: Input): unknown {
    return [input.term.symbol, input.term.label, this.operand(input)];
  }

  #once(object: object, write: () => unknown): number {
    const known = this.#known.get(object);
    if (known !== undefined) return known;
    const written = plain(write());
    const text = JSON.stringify(written);
    const number = this.#numbers.get(text) ?? this.all.push(written) - 1;
    this.#numbers.set(text, number);
    this.#known.set(object, number);
    return number;
  }
}

/** As plain data that survives JSON; numbers that JSON cannot represent become texts. */
function plain<Value>(value: Value): Value {
  return JSON.parse(
    JSON.stringify(value, (_, one) =>
      typeof one === 'number' && (!Number.isFinite(one) || Object.is(one, -0))
        ? `number ${String(one)}`
        : one,
    ),
  );
}
