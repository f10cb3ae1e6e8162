import { type CompletionItem, CompletionItemKind } from 'vscode-languageserver';
import type { EngineConfiguration } from '../../../generated/configuration.ts';
import type { Analysis } from '../../../shared/analysis.ts';
import type { Installation } from '../../../shared/configuration/installation.ts';
import { pinUses, rolesAt } from '../../../shared/configuration/pins.ts';
import { rootShape } from '../../../shared/configuration/schemas.ts';
import { type Shape, shapeAt } from '../../../shared/configuration/shape.ts';
import { terminalsOf } from '../../../shared/configuration/terminals.ts';
import {
  STATUS_SOURCES,
  statesOf,
  statesOfSource,
  statusSource,
} from '../../../shared/derived/bus-states.ts';
import { measuredQuantities } from '../../../shared/quantity/index.ts';
import type { PathStep } from '../../../shared/source/tree.ts';
import type { Workspace } from '../../workspace.ts';
import type { Cursor } from './cursor.ts';
import { fileItems } from './file-items.ts';
import { type Name, pinNames } from './pin-names.ts';

/** The words that fit as the value: a choice, a name, or the path of a file. */
export function wordItems(analysis: Analysis, cursor: Cursor, workspace: Workspace): CompletionItem[] {
  const shape = shapeAt(rootShape(analysis.kind), cursor.path);
  if (!shape) return [];
  const names = shape.names ? namesOf(shape.names, analysis, cursor) : [];
  return [
    ...choicesOf(shape).map((label) => ({ label, kind: CompletionItemKind.EnumMember })),
    ...names.map(({ name, detail }) => ({
      label: name,
      kind: CompletionItemKind.Reference,
      // A detail that repeats the label says nothing.
      ...(detail && detail !== name && { detail }),
    })),
    ...(shape.file ? fileItems(shape.file, analysis, cursor, workspace) : []),
  ].map((item, index) => ({ ...item, sortText: String(index).padStart(4, '0') }));
}

function choicesOf({ choices, primitive }: Shape): string[] {
  return choices?.map(String) ?? (primitive === 'boolean' ? ['true', 'false'] : []);
}

/** The names of a kind that the file or its controller file declares. */
function namesOf(sort: string, { installation }: Analysis, { path }: Cursor): Name[] {
  const configuration = installation?.configuration;
  switch (sort) {
    case 'quantity':
      return measuredQuantities.map(({ name, unit }) => ({ name, detail: unit }));
    case 'sensor':
      return named(configuration?.sensors, ({ measures }) => measures?.text);
    case 'input':
      return named(configuration?.inputs, ({ kind }) => kind?.text);
    case 'map set':
      return named(configuration?.map_sets?.sets, ({ when }) => when?.text);
    case 'pin':
      return installation ? pinNames(installation, path) : [];
    case 'status source':
      return configuration ? sourceNames(configuration) : [];
    case 'state':
      return configuration ? stateNames(configuration, path) : [];
    case 'standby pin':
      return installation?.standby ? standbyPinNames(installation.standby, path) : [];
    case 'terminal':
      return installation ? terminalNames(installation) : [];
    default:
      return [];
  }
}

function named<Thing>(
  things: { readonly [name: string]: Thing } | undefined,
  detail: (thing: Thing) => string | undefined,
): Name[] {
  return Object.entries(things ?? {}).map(([name, thing]) => ({ name, detail: detail(thing) }));
}

/** What a status signal may tell of: sensors only if the controller can find them failed. */
function sourceNames({ sensors }: EngineConfiguration): Name[] {
  const found = Object.entries(sensors ?? {}).filter(([, sensor]) => sensor.fault_outside);
  return [
    ...STATUS_SOURCES.map((name) => ({ name })),
    ...found.map(([name, { measures }]) => ({ name: `sensors.${name}`, detail: measures?.text })),
  ];
}

/** The pins of the standby controller with a role that fits what is connected there, those in use last. */
function standbyPinNames({ configuration, controller }: Installation, path: readonly PathStep[]): Name[] {
  const [, list, name = ''] = path;
  const section = list === 'drives' ? 'outputs' : 'sensors';
  const roles = rolesAt(configuration, [section, name, 'pin']);
  const used = new Set(pinUses(configuration).map(({ pin }) => pin.text));
  return Object.entries(controller?.pins ?? {})
    .filter(([, { role }]) => !roles || (role && roles.includes(role.text)))
    .map(([pin, { role }]) => ({ name: pin, detail: role?.text }))
    .sort((a, b) => Number(used.has(a.name)) - Number(used.has(b.name)));
}

/** The states of the source of the signal that have no number yet. */
function stateNames(configuration: EngineConfiguration, path: readonly PathStep[]): Name[] {
  const [, , message = '', , name = '', , key] = path;
  const signal = configuration.bus?.messages?.[message]?.signals?.[name];
  const source = signal?.of && statusSource(signal.of.text);
  const states = (source && statesOfSource(configuration, source)) ?? [];
  const used = signal ? statesOf(signal).filter((one) => one.key !== key) : [];
  return states
    .filter((state) => used.every(({ word }) => word.text !== state))
    .map((state) => ({ name: state }));
}

/** The ends that a circuit may have. */
function terminalNames({ configuration, controller, standby }: Installation): Name[] {
  const pins = Object.entries(controller?.pins ?? {}).map(([pin, { role }]) => ({
    name: `controller.${pin}`,
    detail: role?.text,
  }));
  const splices = Object.keys(configuration.harness?.splices ?? {}).map((name) => `splices.${name}`);
  const ends = [...terminalsOf(configuration).map(({ path }) => path), ...splices, 'supply', 'ground'];
  const second = Object.entries(standby?.controller?.pins ?? {}).map(([pin, { role }]) => ({
    name: `standby.${pin}`,
    detail: role?.text,
  }));
  return [...ends.map((name) => ({ name, detail: undefined })), ...pins, ...second];
}
