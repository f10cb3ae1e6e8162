import { expect, onTestFinished, test } from 'vitest';
import { EditorClient } from '../bench/client.mjs';
import { buildIfStale } from '../build.mjs';

/** The number of documents, whose analyses would together take 300 MB, and the heap size in MB. */
const COUNT = 3000;
const HEAP = 160;

const uri = (i: number) => `file:///many/${i % 30}/${i}.engine.yaml`;
const text = (i: number) => `enginefile: 1
engine: { cylinders: 4, cycle: four-stroke, bore: ${70 + (i % 30)} mm, stroke: 79 mm, boar: ${i} mm }
operating_points:
  takeoff: { speed: 5500 rpm, manifold_pressure: 150 kPa abs }
`;

test('as many documents may be open as an editor likes', async () => {
  const client = new EditorClient([`--max-old-space-size=${HEAP}`, buildIfStale(), 'serve', '--stdio']);
  onTestFinished(async () => {
    if (client.process.exitCode === null && client.process.signalCode === null) await client.stop();
    expect(client.complaints).toEqual([]);
  });
  await client.start();
  const hover = (i: number) =>
    client.ask('textDocument/hover', {
      textDocument: { uri: uri(i) },
      position: { line: 1, character: text(i).split('\n')[1]!.indexOf('bore') },
    });

  const first = await client.open(uri(0), text(0));
  const firstHover = await hover(0);
  expect(JSON.stringify(first)).toContain('unknown-key');
  expect(JSON.stringify(firstHover)).toContain('70 mm');
  for (let i = 1; i < COUNT; i++) {
    const found = await client.open(uri(i), text(i));
    expect(found.map(({ code }) => code)).toEqual(first.map(({ code }) => code));
  }
  // The analysis of the first was evicted long ago.
  expect(await hover(0)).toEqual(firstHover);
  const at = text(0).indexOf('70 mm');
  expect(await client.edit(uri(0), at, at + 2, '70')).toEqual(first);
  expect(JSON.stringify(await hover(COUNT - 1))).toContain(`${70 + ((COUNT - 1) % 30)} mm`);
  for (let i = 1; i < COUNT; i++) await client.close(uri(i));
  expect(await hover(0)).toEqual(firstHover);
});
