import { MOST_POSITIONS } from '../configuration/pin-plan.ts';
import type { PinRole } from '../configuration/pins.ts';

/** The answers from which a controller file is generated, each as typed. Unknown answers are omitted. */
export interface ControllerAnswers {
  readonly name?: string | undefined;
  /** The number of positions of each connector: `20, 20, 8`. */
  readonly connectors?: string | undefined;
  readonly injectors?: string | undefined;
  readonly coils?: string | undefined;
  readonly analog?: string | undefined;
  readonly temperatures?: string | undefined;
  readonly pickups?: string | undefined;
}

export type ControllerQuestion = keyof ControllerAnswers;
export type CountQuestion = Exclude<ControllerQuestion, 'name' | 'connectors'>;

/** The pin role that each question counts. */
export const roleAsked: Readonly<Record<CountQuestion, PinRole>> = {
  injectors: 'injector-driver',
  coils: 'ignition-driver',
  analog: 'analog-input',
  temperatures: 'temperature-input',
  pickups: 'pickup-input',
};

/** Connectors are named A to Z. */
const MOST_CONNECTORS = 26;
const MOST_CIRCUITS = 100;

const WHOLE = /^\s*\d+\s*$/;

/** The number of circuits in an answer; zero if it is unknown. */
export function countOf(answer = ''): number {
  return WHOLE.test(answer) ? Math.min(Number(answer), MOST_CIRCUITS) : 0;
}

/** The number of positions of each connector; empty if it is unknown. */
export function positionsOf({ connectors = '' }: ControllerAnswers): number[] {
  const parts = connectors.split(',').map((part) => (WHOLE.test(part) ? Number(part) : 0));
  return parts.every(isPositions) && parts.length <= MOST_CONNECTORS ? parts : [];
}

const isPositions = (count: number): boolean => count >= 1 && count <= MOST_POSITIONS;

/** The objection to an answer, given the others; undefined if it is acceptable or left for later. */
export function findingAboutController(
  question: ControllerQuestion,
  answers: ControllerAnswers,
): string | undefined {
  const answer = answers[question]?.trim() ?? '';
  if (question === 'name' || answer === '') return undefined;
  const positions = positionsOf(answers);
  if (question === 'connectors') {
    if (positions.length > 0) return undefined;
    return `Enter the number of positions of each connector (1 to ${MOST_POSITIONS}), separated by commas: 20, 20, 8.`;
  }
  if (!WHOLE.test(answer) || Number(answer) > MOST_CIRCUITS)
    return `Enter a whole number from 0 to ${MOST_CIRCUITS}.`;
  const there = positions.reduce((sum, count) => sum + count, 0);
  const counts = (Object.keys(roleAsked) as CountQuestion[]).map((one) => countOf(answers[one]));
  const wanted = counts.reduce((sum, count) => sum + count, 0);
  if (there === 0 || wanted <= there) return undefined;
  return `${wanted} pins are needed, but the connectors have only ${there} positions.`;
}
