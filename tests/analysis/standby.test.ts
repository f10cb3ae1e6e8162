import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { type Analysis, analyse, analyseBriefly } from '../../shared/analysis.ts';
import { type EngineSubject, standbySubject } from '../../shared/checks/check.ts';
import { leftOut } from '../../shared/checks/run.ts';
import { filesOfInstallation } from '../../shared/configuration/installation.ts';
import { createProject } from '../../shared/configuration/project.ts';

const fixture = (name: string) => readFileSync(new URL(`../fixtures/${name}`, import.meta.url), 'utf8');
const NAMES = [
  ...['complete.engine.yaml', 'complete.controller.yaml', 'wired.engine.yaml', 'wired.controller.yaml'],
  'standby.controller.yaml',
];

function workshop() {
  const project = createProject((path) => {
    const name = NAMES.find((one) => path === `/shop/${one}`);
    return name && fixture(name);
  });
  const again = (earlier?: Analysis) => analyse(project, '/shop/wired.engine.yaml', earlier)!;
  /** Saves a file in which one text is replaced by another. */
  const edit = (name: string, from: string, to: string) => {
    const path = `/shop/${name}`;
    const { text: before } = project.source(path)!;
    expect(before).toContain(from);
    const text = before.replace(from, to);
    project.rewrite(path, [{ text }]);
  };
  return { project, again, edit };
}

const standbyOf = ({ subject }: Analysis): EngineSubject => standbySubject(subject as EngineSubject)!;

const rulesOf = ({ findings }: Analysis) =>
  findings.filter(({ severity }) => severity !== 'information').map(({ rule }) => rule);

test('the standby controller file is a part of the installation', () => {
  const { project, again } = workshop();
  const paths = again().files.map(({ path }) => path);
  expect(paths).toContain('/shop/standby.controller.yaml');
  const unbound = filesOfInstallation(project, project.source('/shop/wired.engine.yaml')!);
  expect(unbound.map(({ path }) => path)).toEqual(paths);
});

test('a change of the standby controller file is checked, with or without an earlier analysis', () => {
  const { project, again } = workshop();
  const before = again();
  expect(rulesOf(before)).toEqual([]);
  const text = fixture('standby.controller.yaml').replace('S9: { role: injector-driver', 'S9: { role: bus');
  project.rewrite('/shop/standby.controller.yaml', [{ text }]);
  const after = again(before);
  expect(rulesOf(after)).toEqual(['pin-role-mismatch', 'channel-count-exceeded']);
  expect(rulesOf(again())).toEqual(rulesOf(after));
});

test('a change of what the standby controller holds is checked', () => {
  const { project, again } = workshop();
  const before = again();
  const text = fixture('wired.engine.yaml').replace('- [0.8, 0.8]', '- [1.2, 1.2]');
  project.rewrite('/shop/wired.engine.yaml', [{ text }]);
  const after = again(before);
  const lean = after.findings.find(({ message }) => message.startsWith('With the standby controller'));
  expect(lean?.path).toMatch(/^standby\.apply\.fuel\.target_lambda/);
  expect(rulesOf(again())).toEqual(rulesOf(after));
});

test('an edit elsewhere leaves the engine of the standby controller and its points as they are', () => {
  const { again, edit } = workshop();
  const before = again();
  edit('wired.engine.yaml', 'title: Plover', 'title: Grey plover');
  const after = again(before);
  const [old, now] = [before, after].map(standbyOf);
  for (const section of ['sensors', 'outputs', 'closed_loop'] as const)
    expect(now!.installation.configuration[section]).toBe(old!.installation.configuration[section]);
  const points = now!.derivation.points;
  expect(points.length).toBeGreaterThan(1);
  points.forEach((point, i) => {
    expect(point).toBe(old!.derivation.points[i]);
  });
});

test('an edit that leaves the envelope needs no new search with the standby controller either', () => {
  const { project, again, edit } = workshop();
  const before = again();
  edit('complete.engine.yaml', 'speed: 4600 rpm', 'speed: 4500 rpm');
  const brief = analyseBriefly(project, '/shop/wired.engine.yaml', before)!;
  expect(leftOut(brief.asked).map(({ id }) => id)).toEqual([]);
});

test.each([
  ['another quantity', 'oil_temperature'],
  ['an unknown quantity', 'exhaust_gas_temperature_1'],
])(
  'a loop that the standby controller loses when its sensor measures %s is not checked any more',
  (_, other) => {
    const { again, edit } = workshop();
    edit('wired.engine.yaml', 'reads: { ', 'reads: { egt_1: S4, ');
    edit(
      'wired.engine.yaml',
      '  apply:\n',
      '  apply:\n    closed_loop: { exhaust_gas_temperature: { limit: 700 °C } }\n',
    );
    const before = again();
    expect(rulesOf(before)).toContain('exhaust-target-above-limit');
    edit('complete.engine.yaml', 'measures: "exhaust_gas_temperature[1]"', `measures: ${other}`);
    const after = again(before);
    expect(rulesOf(after)).not.toContain('exhaust-target-above-limit');
    expect(rulesOf(again())).toEqual(rulesOf(after));
  },
);

test('without a standby controller, no check depends on the controller file for it', () => {
  const { project } = workshop();
  const { asked } = analyse(project, '/shop/complete.engine.yaml')!;
  const ofController = [...asked.answers].filter(([, { reads }]) => reads.has('the controller file'));
  const ids = ofController.map(([{ id }]) => id);
  expect(ids).toContain('pin-role-mismatch');
  const known = [...asked.answers.keys()].map(({ id }) => id);
  for (const id of ['lean-at-high-load', 'exhaust-target-above-limit', 'critical-altitude']) {
    expect(known).toContain(id);
    expect(ids).not.toContain(id);
  }
});
