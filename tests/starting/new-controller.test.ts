import { describe, expect, test } from 'vitest';
import { type Analysis, analyse } from '../../shared/analysis.ts';
import { createProject } from '../../shared/configuration/project.ts';
import {
  type ControllerAnswers,
  type ControllerQuestion,
  findingAboutController,
} from '../../shared/starting/controller-answers.ts';
import { newController } from '../../shared/starting/new-controller.ts';
import { newInstallation } from '../../shared/starting/new-installation.ts';

const known: ControllerAnswers = {
  name: 'Unit: "four" #2',
  connectors: '6, 20',
  injectors: '4',
  coils: '4',
  analog: '3',
  temperatures: '2',
  pickups: '2',
};

const CONTROLLER = '/place/new.controller.yaml';
const ENGINE = '/place/new.engine.yaml';

function analysed(path: string, answers: ControllerAnswers): Analysis {
  const files = new Map([
    [CONTROLLER, newController(answers)],
    [ENGINE, newInstallation({ cylinders: '4', controller: './new.controller.yaml' })],
  ]);
  return analyse(
    createProject((asked) => files.get(asked)),
    path,
  )!;
}

describe('a new controller file', () => {
  test.each([
    ['all is known', known],
    ['no connectors are known', { ...known, connectors: '' }],
  ])('of which %s raises no error under a new installation', (_, answers) => {
    const { findings, installation, file } = analysed(ENGINE, answers);
    expect(installation!.controller).toBeDefined();
    // Placeholders are findings in the engine file; the controller file has no findings.
    const open = findings.filter(({ start, end, severity }) => {
      const line = file.lines.line(file.lines.position(start).line);
      return severity === 'error' && !line.includes('…') && !/\[\]/.test(line) && end > start;
    });
    expect(open.map(({ message }) => message)).toEqual([]);
  });

  test.each([known, {}, { ...known, connectors: '' }])('raises no finding of its own: %j', (answers) => {
    expect(analysed(CONTROLLER, answers).findings).toEqual([]);
  });

  test('has a pin for each circuit, from connector to connector, and no number that was not answered', () => {
    const { subject, file } = analysed(CONTROLLER, known);
    const { connectors, pins, limits, supply } = subject.controller!;
    expect(Object.entries(connectors!).map(([name, { positions }]) => [name, positions!.canonical])).toEqual([
      ['A', 6],
      ['B', 20],
    ]);
    const roles = Object.entries(pins!).map(([name, { role, ...rest }]) => {
      expect(Object.keys(rest)).toEqual([]);
      return `${name} ${role!.text}`;
    });
    expect(roles).toHaveLength(15);
    expect(roles.slice(3, 8)).toEqual([
      'A4 injector-driver',
      'A5 ignition-driver',
      'A6 ignition-driver',
      'B1 ignition-driver',
      'B2 ignition-driver',
    ]);
    expect([limits, supply]).toEqual([undefined, undefined]);
    expect(file.text).toContain(`name: 'Unit: "four" #2'`);
  });

  test('lists what the data sheet has to say of the circuits that there are, with its form and meaning', () => {
    const text = newController({ injectors: '1' });
    expect(text).toContain('# minimum_load: … ohm   (for each injector-driver)');
    expect(text).toContain('#     Lowest resistance that may be connected to the driver.');
    expect(text).toContain('REPLACE EVERY PIN');
    expect(text).not.toContain('resolution:');
  });

  test('is made of lines that fit a page', () => {
    expect(
      newController(known)
        .split('\n')
        .filter((line) => line.length > 100),
    ).toEqual([]);
  });
});

describe('an answer', () => {
  test.each([
    ['connectors', '20'],
    ['connectors', ' 20,20 , 8 '],
    ['injectors', '6'],
    ['injectors', ''],
    ['name', '12'],
  ] as const)('%s %j is taken', (question, answer) => {
    expect(findingAboutController(question, { [question]: answer })).toBeUndefined();
  });

  test.each([
    ['connectors', '20; 8', /comma/],
    ['connectors', '0', /1 to 500/],
    ['connectors', '501', /1 to 500/],
    ['injectors', 'four', /whole number/],
    ['analog', '-1', /whole number/],
    ['coils', '101', /from 0 to 100/],
  ] as [ControllerQuestion, string, RegExp][])('%s %j is objected to', (question, answer, message) => {
    expect(findingAboutController(question, { [question]: answer })).toMatch(message);
  });

  test('cannot make more pins than the connectors have positions', () => {
    const answers = { connectors: '6, 4', injectors: '6', coils: '5' };
    expect(findingAboutController('injectors', { ...answers, coils: '' })).toBeUndefined();
    expect(findingAboutController('coils', answers)).toBe(
      '11 pins are needed, but the connectors have only 10 positions.',
    );
    expect(findingAboutController('coils', { ...answers, connectors: '' })).toBeUndefined();
  });
});
