import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { type Analysis, analyse } from '../../shared/analysis.ts';
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
  return { project, again };
}

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
