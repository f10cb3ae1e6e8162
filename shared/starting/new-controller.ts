import { skeleton } from '../checks/form-skeleton.ts';
import type { PinRole } from '../configuration/pins.ts';
import { controllerShape } from '../configuration/schemas.ts';
import { childShape, type Shape } from '../configuration/shape.ts';
import { valueText } from './answers.ts';
import {
  type ControllerAnswers,
  type CountQuestion,
  countOf,
  positionsOf,
  roleAsked,
} from './controller-answers.ts';
import { commentLines, explained } from './explained.ts';
import type { Outline } from './outline.ts';

const OPENING = commentLines(
  'A new controller file, generated from the number of circuits of each kind. The pins are in the order of the ' +
    'questions, not of the connector: REPLACE EVERY PIN NAME with the name in the data sheet of the controller before ' +
    'you wire anything from this file. No electrical limit is invented; the keys to add are at the end.',
);

const CLOSING = commentLines(
  'Add these keys from the data sheet of the controller. A key that is omitted is not checked.',
);

/**
 * The text of a new controller file. Every key has a comment above it. The keys whose values only the data sheet knows
 * are listed as comments, so that the file has no findings and no invented values.
 */
export function newController(answers: ControllerAnswers): string {
  return [
    ...OPENING,
    '',
    `${explained(outlineOf(answers), controllerShape)}`,
    ...CLOSING,
    '#',
    ...toAdd(answers),
    '',
  ].join('\n');
}

function outlineOf(answers: ControllerAnswers): Outline {
  const name = answers.name?.trim();
  const positions = positionsOf(answers);
  const connectors = positions.map((count, i) => [letter(i), { positions: String(count) }] as const);
  return {
    controllerfile: '1',
    ...(name && { name: valueText('title', name) }),
    ...(connectors.length > 0 && { connectors: Object.fromEntries(connectors) }),
    pins: pinsOf(answers),
  };
}

/** A pin for each circuit, one connector after the other. */
function pinsOf(answers: ControllerAnswers): Outline {
  const names = pinNames(positionsOf(answers));
  const roles = rolesOf(answers).flatMap(([question, role]) =>
    Array.from({ length: countOf(answers[question]) }, () => role),
  );
  return Object.fromEntries(roles.map((role) => [names.next().value!, { role }]));
}

/** `A1`, `A2`, …; without end, even without connectors or past their last position. */
function* pinNames(positions: readonly number[]): Generator<string, never> {
  for (let connector = 0; ; connector++) {
    const count = positions[connector] ?? Number.POSITIVE_INFINITY;
    for (let position = 1; position <= count; position++) yield `${letter(connector)}${position}`;
  }
}

const letter = (index: number): string => String.fromCharCode('A'.charCodeAt(0) + index);

const rolesOf = (answers: ControllerAnswers) =>
  (Object.entries(roleAsked) as [CountQuestion, PinRole][]).filter(
    ([question]) => countOf(answers[question]) > 0,
  );

/** The keys to add from a data sheet, each with its form, the place or pin roles that it belongs to, and its description. */
function toAdd(answers: ControllerAnswers): string[] {
  const pin = childShape(controllerShape, 'pins')!.others!;
  const roles = rolesOf(answers).map(([, role]) => role);
  const ofPins = [...pin.properties].flatMap(([key, shape]) => {
    const own = roles.filter((role) => shape.fitsWith(() => role));
    return key === 'role' || own.length === 0 ? [] : line(key, shape, pin, `for each ${own.join(', ')}`);
  });
  const limits = childShape(controllerShape, 'limits')!;
  return [
    ...line('supply', childShape(controllerShape, 'supply')!, controllerShape, 'at the top level'),
    ...ofPins,
    ...[...limits.properties].flatMap(([key, shape]) => line(key, shape, limits, 'under `limits`')),
  ];
}

function line(key: string, shape: Shape, parent: Shape, where: string): string[] {
  const form = skeleton(shape, parent, key).line;
  return [`# ${key}: ${form}   (${where})`, ...commentLines(shape.description ?? '').map(indented)];
}

const indented = (comment: string): string => comment.replace('# ', '#     ');
