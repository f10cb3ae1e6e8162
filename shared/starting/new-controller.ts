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
  'A controller file to begin with, made of how many circuits of each sort there are. Their pins stand in the order of ' +
    "the questions, not in that of the plug: REPLACE EVERY PIN'S NAME by the one in the maker's data sheet before " +
    'anything is wired by this file. No electrical limit is made up; what to add stands at the end.',
);

const CLOSING = commentLines(
  "To be added from the maker's data sheet. What is absent is not examined, so each line that is added finds more.",
);

/**
 * The text of a controller file to begin with. Every key is explained above it; what the data sheet alone can say is
 * not written but listed, so that the file raises no finding and claims nothing.
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

/** `A1`, `A2`, …; without connectors, or past their last position, there is always one more. */
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

/** The keys that a data sheet fills in, each with its form, the roles that have it, and what it is. */
function toAdd(answers: ControllerAnswers): string[] {
  const pin = childShape(controllerShape, 'pins')!.others!;
  const roles = rolesOf(answers).map(([, role]) => role);
  const ofPins = [...pin.properties].flatMap(([key, shape]) => {
    const own = roles.filter((role) => shape.fitsWith(() => role));
    return key === 'role' || own.length === 0 ? [] : line(key, shape, pin, `of each ${own.join(', ')}`);
  });
  const limits = childShape(controllerShape, 'limits')!;
  return [
    ...line('supply', childShape(controllerShape, 'supply')!, controllerShape, 'at the left edge'),
    ...ofPins,
    ...[...limits.properties].flatMap(([key, shape]) => line(key, shape, limits, 'under limits')),
  ];
}

function line(key: string, shape: Shape, parent: Shape, where: string): string[] {
  const form = skeleton(shape, parent, key).line;
  return [`# ${key}: ${form}   (${where})`, ...commentLines(shape.description ?? '').map(indented)];
}

const indented = (comment: string): string => comment.replace('# ', '#     ');
