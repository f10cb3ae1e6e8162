// How long bounds take, compared with a check of the same file: processor time of both, in ms.
import { join } from 'node:path';
import { project } from '../editor/paths.mjs';
import { number, processorTime, table } from './measure.mjs';

const RUNS = 3;
const SAMPLES = ['wheatear/wheatear-10', 'dotterel/dotterel-16t', 'sanderling/sanderling-10t'];

/** @param {readonly { name: string, path: string }[]} made engine files besides the samples */
export function boundsTable(program, made) {
  const samples = SAMPLES.map((name) => ({
    name: name.split('/')[0],
    path: join(project('samples'), `${name}.engine.yaml`),
  }));
  const rows = [...samples, ...made].map(({ name, path }) => {
    const check = processorTime(RUNS, [program, 'check', path], [0, 1]);
    const prove = processorTime(RUNS, [program, 'prove', '--time', '1000', path], [0, 1]);
    return [name, number(check), number(prove), number(prove / check)];
  });
  return table(['ms of processor time', 'check, cold', 'prove', 'prove ÷ check'], rows);
}
