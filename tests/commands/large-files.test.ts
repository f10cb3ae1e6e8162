import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { completeController, completeEngine, enginewright, folderOf } from '../support/command-line.ts';
import { times } from '../support/large.ts';

/** Four times the text may take this many times as long. With quadratic time it would be sixteen. */
const MOST_GROWTH = 9;
const FEW = 300;

interface Files {
  readonly [name: string]: string;
}

/** The CPU time of a command on files, in s, and its output. */
async function run(files: Files, args: readonly string[]): Promise<{ seconds: number; out: string }> {
  const folder = folderOf({ 'complete.controller.yaml': completeController, ...files });
  const named = args.map((arg) => (arg.endsWith('.yaml') ? join(folder, arg) : arg));
  const before = process.cpuUsage();
  const { out, status } = await enginewright(...named);
  const { user, system } = process.cpuUsage(before);
  expect(status).toBeLessThan(2);
  return { seconds: (user + system) / 1e6, out };
}

/** Runs a command on a few entries and on four times as many; returns its output for the many. */
async function grown(filesOf: (count: number) => Files, ...args: readonly string[]): Promise<string> {
  // Compilation and one-time reads in a first run do not depend on the text.
  await run(filesOf(FEW), args);
  const few = await run(filesOf(FEW), args);
  const many = await run(filesOf(4 * FEW), args);
  expect(many.seconds / few.seconds).toBeLessThan(MOST_GROWTH);
  return many.out;
}

const ENGINE = 'complete.engine.yaml';

/** The complete engine with more entries below a line. */
const withMore = (line: string, entries: string): string => {
  expect(completeEngine).toContain(`${line}\n`);
  return completeEngine.replace(`${line}\n`, (found) => found + entries);
};

const withSensors = (count: number, name: string): string => {
  const points = 'resistance: { 0 °C: 5.89 kohm, 40 °C: 1.18 kohm, 100 °C: 0.187 kohm }';
  const one = (i: number) =>
    `  ${name}${i}: { measures: oil_temperature, kind: thermistor, pin: A9, supply: 5 V, pull_up: 2.49 kohm, ${points} }\n`;
  return withMore('sensors:', times(count, one));
};

const withSets = (count: number, apply: (i: number) => string): string =>
  withMore(
    '    climb: { when: open }',
    times(count, (i) => `    m${i}: { when: open, apply: ${apply(i)} }\n`),
  );

describe('four times the entries take some four times as long', { timeout: 600_000 }, () => {
  test('sensors in a report', async () => {
    const page = await grown((count) => ({ [ENGINE]: withSensors(count, 's') }), 'report', ENGINE);
    expect(page.match(/<h3>s\d+<\/h3>/g)).toHaveLength(4 * FEW);
  });

  test('map sets in a report', async () => {
    const files = (count: number) => ({
      [ENGINE]: withSets(count, (i) => `{ engine: { maximum_speed: ${5000 + (i % 700)} rpm } }`),
    });
    const page = await grown(files, 'report', ENGINE);
    expect(page.match(/<h3>m\d+<\/h3>/g)).toHaveLength(4 * FEW);
  });

  test('map sets that each change a value to another one', async () => {
    const files = (count: number) => ({
      [ENGINE]: withSets(4 * count, (i) => `{ fuel: { rail: { fault_pressure: ${2 + i / 10_000} bar } } }`),
    });
    const printed = await grown(files, 'check', ENGINE);
    // The map set of the complete engine has 2.2 bar.
    expect(printed.match(/has the same effect as/g)).toHaveLength(1);
  });

  test('things that bear other names in a comparison', async () => {
    const files = (count: number) => ({
      'old.engine.yaml': withSensors(count, 's'),
      'new.engine.yaml': withSensors(count, 't'),
    });
    const printed = await grown(files, 'compare', 'old.engine.yaml', 'new.engine.yaml');
    expect(printed.match(/renamed from sensors\.s\d+/g)).toHaveLength(4 * FEW);
  });

  test('fields at one address, compared', async () => {
    const one = (i: number) => `    protection.p${i}.delay: { at: 0x0100, type: u16, scale: 1 ms }\n`;
    const files = (count: number) => ({
      [ENGINE]: completeEngine,
      'new.engine.yaml': completeEngine.replace('bore: 84 mm', 'bore: 85 mm'),
      'complete.controller.yaml': completeController.replace(
        '  fields:\n',
        (line) => line + times(4 * count, one),
      ),
    });
    await grown(files, 'compare', ENGINE, 'new.engine.yaml');
    const printed = await run(files(FEW), ['check', 'complete.controller.yaml']);
    const leftOut = /(\d+) more\s+'fields-overlap'\s+findings/.exec(printed.out)![1];
    expect(Number(leftOut)).toBe(4 * FEW - 100);
  });

  test('messages whose names differ only in what a database file cannot write', async () => {
    const one = (i: number) =>
      `    "${String.fromCodePoint(0x4e00 + i)}": { id: ${i}, extended: true, length: 8 byte }\n`;
    const files = (count: number) => ({ [ENGINE]: withMore('  messages:', times(20 * count, one)) });
    const printed = await grown(files, 'bus', ENGINE);
    expect(printed.match(/^BO_ /gm)).toHaveLength(4 * 20 * FEW + 1);
  });
});
