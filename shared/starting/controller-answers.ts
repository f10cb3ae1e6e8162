import type { PinRole } from '../configuration/pins.ts';

/** What is known of a controller before its file is begun, each as it was typed. Unknown is left out. */
export interface ControllerAnswers {
  readonly name?: string | undefined;
  /** The positions of each connector: `20, 20, 8`. */
  readonly connectors?: string | undefined;
  readonly injectors?: string | undefined;
  readonly coils?: string | undefined;
  readonly analog?: string | undefined;
  readonly temperatures?: string | undefined;
  readonly pickups?: string | undefined;
}

export type ControllerQuestion = keyof ControllerAnswers;
export type CountQuestion = Exclude<ControllerQuestion, 'name' | 'connectors'>;

/** The circuit that each question counts. */
export const roleAsked: Readonly<Record<CountQuestion, PinRole>> = {
  injectors: 'injector-driver',
  coils: 'ignition-driver',
  analog: 'analog-input',
  temperatures: 'temperature-input',
  pickups: 'pickup-input',
};

/** Connectors are called by the letters of the alphabet. */
const MOST_CONNECTORS = 26;
/** The most that the format allows. */
const MOST_POSITIONS = 500;
const MOST_CIRCUITS = 100;

const WHOLE = /^\s*\d+\s*$/;

/** How many circuits were counted; none where that is not known. */
export function countOf(answer = ''): number {
  return WHOLE.test(answer) ? Math.min(Number(answer), MOST_CIRCUITS) : 0;
}

/** The positions of each connector; none where they are not known. */
export function positionsOf({ connectors = '' }: ControllerAnswers): number[] {
  const parts = connectors.split(',').map((part) => (WHOLE.test(part) ? Number(part) : 0));
  return parts.every(isPositions) && parts.length <= MOST_CONNECTORS ? parts : [];
}

const isPositions = (count: number): boolean => count >= 1 && count <= MOST_POSITIONS;

/** Why the last answer cannot be, in the light of the earlier ones; undefined where it can, or is left for later. */
export function objectionToController(
  question: ControllerQuestion,
  answers: ControllerAnswers,
): string | undefined {
  const answer = answers[question]?.trim() ?? '';
  if (question === 'name' || answer === '') return undefined;
  const positions = positionsOf(answers);
  if (question === 'connectors') {
    if (positions.length > 0) return undefined;
    return `Write how many positions each connector has, up to ${MOST_POSITIONS}, a comma between two: 20, 20, 8.`;
  }
  if (!WHOLE.test(answer) || Number(answer) > MOST_CIRCUITS)
    return `Write a whole number from 0 to ${MOST_CIRCUITS}.`;
  const there = positions.reduce((sum, count) => sum + count, 0);
  const counts = (Object.keys(roleAsked) as CountQuestion[]).map((one) => countOf(answers[one]));
  const wanted = counts.reduce((sum, count) => sum + count, 0);
  if (there === 0 || wanted <= there) return undefined;
  return `That makes ${wanted} pins, and the connectors have ${there} positions.`;
}
