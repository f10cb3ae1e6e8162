import type { CodeLens, CodeLensParams, Command, Range } from 'vscode-languageserver/node';
import type { Analysis } from '../../shared/analysis.ts';
import { tablesOf, tablesOfEngine } from '../../shared/checks/tables.ts';
import { namesIn } from '../../shared/configuration/names.ts';
import { nodeOf } from '../../shared/configuration/values.ts';
import { coverageOf } from '../../shared/derived/coverage.ts';
import { keyOf } from '../../shared/source/source-file.ts';
import type { Editor } from '../editor.ts';
import { locationOf, rangeOf, standsIn } from '../places.ts';
import type { ShowPlacesArguments } from '../protocol.ts';
import type { Workspace } from '../workspace.ts';
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
        return lensesIn(analysis, editor, workspace).map(({ range }) => ({ range, data: { uri } }));
      }),
    );
    const resolve = from<Looked, CodeLens>((analysis, { lens }, editor, workspace) => {
      const { line, character } = lens.range.start;
      const shown = lensesIn(analysis, editor, workspace).find(
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

/** A lens whose words are found when an editor shows it: of a long file it shows few. */
export interface Lens {
  readonly range: Range;
  command(): Command;
}

/**
 * Above a sensor, switch, output, map set or pin what uses it; above the exhaust temperature loop what it follows; above
 * a map how much of it the engine can reach.
 */
export function lensesIn(analysis: Analysis, editor: Editor, workspace: Workspace): Lens[] {
  return [
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
    return { range, command: () => showing('used by', editor.uriOf(file.path), range, uses(), editor) };
  });
}

function followLenses(analysis: Analysis, editor: Editor): Lens[] {
  const { file, installation } = analysis;
  const loop = exhaustLoopOf(analysis);
  const key = loop && keyOf(loop.node);
  if (!key || loop.sensors.length === 0 || !standsIn(file, key)) return [];
  const all = installation?.configuration.sensors ?? {};
  const sensors = loop.sensors.map((name) => useAt(name, nodeOf(all[name]!), analysis));
  const range = rangeOf(file, key);
  return [{ range, command: () => showing('follows', editor.uriOf(file.path), range, sensors, editor) }];
}

const MOST_NAMED = 4;

/** `used by 3: oil_pressure_low, engine_1` */
function wordsOf(verb: string, uses: readonly Use[]): string {
  const labels = [...new Set(uses.map(({ label }) => label))];
  const rest = labels.length > MOST_NAMED ? ', …' : '';
  return `${verb} ${labels.length}: ${labels.slice(0, MOST_NAMED).join(', ')}${rest}`;
}

/** A lens that leads to the places, where the editor has a command for that; elsewhere it only says so. */
function showing(verb: string, uri: string, range: Range, uses: readonly Use[], editor: Editor): Command {
  const title = wordsOf(verb, uses);
  if (editor.showPlaces === undefined) return { title, command: '' };
  const places = uses.map(({ file, span }) => locationOf(file, span, editor));
  const given: ShowPlacesArguments = [uri, range.start, places];
  return { title, command: editor.showPlaces, arguments: [...given] };
}

function coverageLenses({ file, subject, installation }: Analysis): Lens[] {
  const engines = (installation?.engines ?? []).map((engine) => ({ engine, tables: tablesOfEngine(engine) }));
  return tablesOf(subject).flatMap(({ table }) => {
    const engine = engines.find(({ tables }) => tables.includes(table))?.engine;
    const coverage = engine && coverageOf(engine, table);
    const key = keyOf(table.node);
    if (!coverage || !key || !standsIn(file, key)) return [];
    const { reached, cells } = coverage;
    const title = `at sea level the engine reaches ${reached} of ${cells} cells`;
    return [{ range: rangeOf(file, key), command: () => ({ title, command: '' }) }];
  });
}
