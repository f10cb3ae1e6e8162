import { join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { imageOf } from '../../server/images.ts';
import { boundsOf, releaseFiles } from '../../server/release/contents.ts';
import { readSources } from '../../server/release/sources.ts';
import type { EngineSubject } from '../../shared/checks/check.ts';
import { SEVERITIES } from '../../shared/faults/severity.ts';
import { faultTable } from '../../shared/faults/table.ts';
import { enginewright, folderOf } from '../support/command-line.ts';
import { sampleText } from '../support/samples.ts';

const SENSOR = 'sensors.charge_temperature';

/** An engine in which the sensor endangers it only between the operating points. */
const file = () =>
  join(
    folderOf({
      'a.engine.yaml': sampleText('dotterel/dotterel-16t.engine.yaml').replace(
        'substitute: 0 °C',
        'substitute: 30 °C',
      ),
      'four-channel.controller.yaml': sampleText('dotterel/four-channel.controller.yaml'),
      'standby.controller.yaml': sampleText('dotterel/standby.controller.yaml'),
    }),
    'a.engine.yaml',
  );

const reportFor = async (reader: string) => {
  const { status, out, err } = await enginewright('report', file(), '--for', reader);
  expect({ status, err }).toEqual({ status: 0, err: '' });
  return out;
};

/** What a page lists under a severity. */
const under = (severity: string, page: string): string =>
  new RegExp(`class="${severity}">${severity}</th>[\\s\\S]*?</tbody>`).exec(page)![0];

describe('a sensor that endangers the engine only between the operating points', () => {
  test('does not at those points', () => {
    const { analysis } = readSources(file(), 'release');
    const rows = faultTable(analysis.subject as EngineSubject).filter(({ of }) => of === SENSOR);
    expect(rows.map(({ severity }) => severity)).toEqual(['degrades']);
  });

  test('does on the paper of the reviewer and in a release', async () => {
    const sources = readSources(file(), 'release');
    const built = imageOf(sources.analysis.installation, 'a.engine.yaml');
    const inRelease = releaseFiles(sources, built, boundsOf(sources), []);
    const page = inRelease.find(({ name }) => name === 'report.html')!.contents as string;
    for (const one of [page, await reportFor('reviewer')])
      expect(under('damages', one)).toContain(`<th scope="row">${SENSOR}</th>`);
  });

  test('does on the paper of the pilot', async () => {
    const [, parts] = (await reportFor('pilot')).split(`${SEVERITIES.damages}</th><td>`) as [string, string];
    expect(parts.slice(0, parts.indexOf('</td>')).split(', ')).toContain(SENSOR);
  });
});
