import { type CompletionItem, CompletionItemKind } from 'vscode-languageserver/node';
import type { Analysis } from '../../../shared/analysis.ts';
import { rootShape } from '../../../shared/configuration/schemas.ts';
import { type Shape, shapeAt } from '../../../shared/configuration/shape.ts';
import { measuredQuantities } from '../../../shared/quantity/index.ts';
import type { Cursor } from './cursor.ts';

/** Words that may stand as the value: one of a choice, or the name of something. */
export function wordItems(analysis: Analysis, { path }: Cursor): CompletionItem[] {
  const shape = shapeAt(rootShape(analysis.kind), path);
  if (!shape) return [];
  const names = shape.names ? namesOf(shape.names, analysis) : [];
  return [
    ...choicesOf(shape).map((label) => ({ label, kind: CompletionItemKind.EnumMember })),
    ...names.map(({ name, detail }) => ({ label: name, detail, kind: CompletionItemKind.Reference })),
  ].map((item, index) => ({ ...item, sortText: String(index).padStart(4, '0') }));
}

function choicesOf({ choices, primitive }: Shape): string[] {
  return choices?.map(String) ?? (primitive === 'boolean' ? ['true', 'false'] : []);
}

interface Name {
  readonly name: string;
  readonly detail: string;
}

/** Everything of a sort that the file, or the controller that it names, gives a name to. */
function namesOf(sort: string, { installation }: Analysis): Name[] {
  const configuration = installation?.configuration;
  switch (sort) {
    case 'quantity':
      return measuredQuantities.map(({ name, label, unit }) => ({ name, detail: `${label}, ${unit}` }));
    case 'sensor':
      return named(configuration?.sensors, ({ measures }) => measures?.text);
    case 'input':
      return named(configuration?.inputs, ({ kind }) => kind?.text);
    case 'map set':
      return named(configuration?.map_sets?.sets, ({ when }) => when?.text);
    case 'pin':
      return named(installation?.controller?.pins, ({ role }) => role?.text);
    default:
      return [];
  }
}

function named<Thing>(
  things: { readonly [name: string]: Thing } | undefined,
  detail: (thing: Thing) => string | undefined,
): Name[] {
  return Object.entries(things ?? {}).map(([name, thing]) => ({ name, detail: detail(thing) ?? '' }));
}
