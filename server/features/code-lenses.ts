import type { CodeLens, CodeLensParams, Command, Range } from 'vscode-languageserver';
import type { Analysis } from '../../shared/analysis.ts';
import { tablesOf } from '../../shared/checks/tables.ts';
import { namesIn } from '../../shared/configuration/names.ts';
import { nodeOf } from '../../shared/configuration/values.ts';
import { keyOf } from '../../shared/source/source-file.ts';
import { coverageOf } from '../../shared/tables/operating-region.ts';
import { type Proved, verdictCounts } from '../bound-words.ts';
import type { Editor } from '../editor.ts';
import { isWrittenIn, locationOf, rangeOf } from '../places.ts';
import type { ShowPlacesArguments } from '../protocol.ts';
import type { Workspace } from '../workspace.ts';
import { OUTDATED } from './bound-page.ts';
import type { Feature } from './feature.ts';
import { mentionsAcross } from './mentions.ts';
import { type Use, useAt } from './use.ts';
import { exhaustLoopOf, type Mentions, usedIn, usesOf } from './uses.ts';

export const codeLenses: Feature = {
  capabilities: { codeLensProvider: { resolveProvider: true } },
  listen: (connection, { from }) => {
    connection.onCodeLens(
      from<CodeLensParams, CodeLens[]>((analysis, { textDocument: { uri } }, editor, workspace) => {
        if (!editor.settings.codeLenses.enabled) return [];
        return lensesIn(analysis, editor, workspace, workspace.proofs.of(uri)).map(({ range }) => ({
          range,
          data: { uri },
        }));
      }),
    );
    const resolve = from<Looked, CodeLens>((analysis, { lens, textDocument: { uri } }, editor, workspace) => {
      const { line, character } = lens.range.start;
      const shown = lensesIn(analysis, editor, workspace, workspace.proofs.of(uri)).find(
        ({ range: { start } }) => start.line === line && start.character === character,
      );
      return shown ? { ...lens, command: shown.command() } : lens;
    });
    connection.onCodeLensResolve(async (lens, token) => {
      const uri = (lens.data as { uri: string } | undefined)?.uri;
      if (uri === undefined) return lens;
      return (await resolve({ textDocument: { uri }, lens }, token)) ?? lens;
    });
  },
};

interface Looked {
  readonly textDocument: { readonly uri: string };
  readonly lens: CodeLens;
}

/** A lens whose title is made only when an editor shows it: in a long file, few are visible. */
export interface Lens {
  readonly range: Range;
  command(): Command;
}

/**
 * The verdicts on the limits; the uses of a sensor, switch, output, map set or pin; the sensors of the exhaust temperature loop; the number of cells
 * of a map that the envelope reaches.
 */
export function lensesIn(analysis: Analysis, editor: Editor, workspace: Workspace, proved?: Proved): Lens[] {
  return [
    ...(proved ? boundLenses(analysis, proved, editor) : []),
    ...useLenses(analysis, editor, (name) => mentionsAcross(name, analysis.file, workspace)),
    ...followLenses(analysis, editor),
    ...coverageLenses(analysis),
  ].sort((a, b) => a.range.start.line - b.range.start.line);
}

const USED = new Set(['sensor', 'input', 'output', 'map set', 'pin']);

function useLenses(analysis: Analysis, editor: Editor, mentions: Mentions): Lens[] {
  const { file } = analysis;
  const declared = namesIn(file).filter(({ kind, declares }) => declares && USED.has(kind));
  const isUsed = usedIn(analysis, mentions);
  return declared.filter(isUsed).map((name) => {
    const range = rangeOf(file, name.span);
    const uses = () => usesOf(name, analysis, mentions);
    return { range, command: () => showing('Used by', editor.uriOf(file.path), range, uses(), editor) };
  });
}

function followLenses(analysis: Analysis, editor: Editor): Lens[] {
  const { file, installation } = analysis;
  const loop = exhaustLoopOf(analysis);
  const key = loop && keyOf(loop.node);
  if (!key || loop.sensors.length === 0 || !isWrittenIn(file, key)) return [];
  const all = installation?.configuration.sensors ?? {};
  const sensors = loop.sensors.map((name) => useAt(name, nodeOf(all[name]!), analysis));
  const range = rangeOf(file, key);
  return [{ range, command: () => showing('Sensors', editor.uriOf(file.path), range, sensors, editor) }];
}

const MOST_NAMED = 4;

/** `Used by 2: oil_pressure_low, engine_1` */
function titleOf(subject: string, uses: readonly Use[]): string {
  const labels = [...new Set(uses.map(({ label }) => label))];
  const rest = labels.length > MOST_NAMED ? ', …' : '';
  return `${subject} ${labels.length}: ${labels.slice(0, MOST_NAMED).join(', ')}${rest}`;
}

/** The command of a lens: it shows the places if the editor has a command for that, and otherwise is a title only. */
function showing(subject: string, uri: string, range: Range, uses: readonly Use[], editor: Editor): Command {
  return showingPlaces(titleOf(subject, uses), uri, range, uses, editor);
}

function showingPlaces(
  title: string,
  uri: string,
  range: Range,
  uses: readonly Use[],
  editor: Editor,
): Command {
  if (editor.showPlaces === undefined || uses.length === 0) return { title, command: '' };
  const places = uses.map(({ file, span }) => locationOf(file, span, editor));
  const given: ShowPlacesArguments = [uri, range.start, places];
  return { title, command: editor.showPlaces, arguments: [...given] };
}

/** The verdicts at the envelope or, if there is none, at the engine; the command shows the limits that do not hold. */
function boundLenses(analysis: Analysis, { bounds, isCurrent }: Proved, editor: Editor): Lens[] {
  const { file, installation } = analysis;
  const { envelope, engine } = installation?.configuration ?? {};
  const section = [envelope, engine].find((one) => one && isWrittenIn(file, nodeOf(one)));
  const key = section && keyOf(nodeOf(section));
  if (!key || bounds.length === 0) return [];
  const range = rangeOf(file, key);
  const title = verdictCounts(bounds) + (isCurrent ? '' : ` ${OUTDATED}`);
  const nodes = new Set(bounds.flatMap(({ verdict, limit }) => (verdict !== 'holds' && limit.node) || []));
  const places = [...nodes].map((node) => useAt('', node, analysis));
  return [{ range, command: () => showingPlaces(title, editor.uriOf(file.path), range, places, editor) }];
}

function coverageLenses({ file, subject, derivation }: Analysis): Lens[] {
  if (!derivation) return [];
  return tablesOf(subject).flatMap(({ table }) => {
    const key = keyOf(table.node);
    const coverage = key && isWrittenIn(file, key) && coverageOf(derivation, table);
    if (!coverage) return [];
    const { reached, cells } = coverage;
    const title = `The envelope reaches ${reached} of ${cells} cells`;
    return [{ range: rangeOf(file, key), command: () => ({ title, command: '' }) }];
  });
}
