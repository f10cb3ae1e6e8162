import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import manifest from '../../package.json';
import { CHANGE_CELLS, type InitializationOptions } from '../../server/protocol.ts';
import { FakeEditor } from './fake-editor.ts';

const read = (path: string): string => readFileSync(new URL(`../../${path}`, import.meta.url), 'utf8');
const page = read('docs/protocol.md');
const protocol = read('server/protocol.ts');

/** The requests and notifications of `server/protocol.ts`. */
const methodsIn = (name: string): string[] => {
  const body = protocol.split(`export interface ${name} {`)[1]!.split('\n}')[0]!;
  return [...body.matchAll(/^ {2}'(enginewright\/\w+)'/gm)].map(([, method]) => method!);
};
const requests = methodsIn('CustomRequests');
const notifications = [...methodsIn('CustomNotifications'), ...methodsIn('EditorNotifications')];

/** The text below the heading of each method, up to the next heading. */
const sections = new Map(
  page
    .split(/^#+ /m)
    .map((section): [string, string] => [/^`(enginewright\/\w+)`\n/.exec(section)?.[1] ?? '', section])
    .filter(([method]) => method !== ''),
);
const examplesIn = (section: string): unknown[] =>
  [...section.matchAll(/^```json\n([\s\S]*?)^```$/gm)].map(([, json]) => JSON.parse(json!));

const URI = 'file:///shop/example.engine.yaml';
const example = /^```yaml\n([\s\S]*?)^```$/m.exec(page)![1]!;

describe('the page for authors of editors', () => {
  test('has every request and notification of our own, and no other', () => {
    expect([...sections.keys()].sort()).toEqual([...requests, ...notifications].sort());
    expect(requests.length).toBeGreaterThan(5);
  });

  test('has every setting that the server reads', () => {
    const ofClient = ['review.oldValues', 'trace.server'];
    const all = Object.entries(manifest.contributes.configuration.properties).map(
      ([name, { default: otherwise }]) => [name.replace('enginewright.', ''), JSON.stringify(otherwise)],
    );
    const rows = [...page.matchAll(/^\| `([\w.]+)` \| .* \| `(.+)` \|$/gm)].map(([, ...cells]) => cells);
    expect(rows.sort()).toEqual(all.filter(([name]) => !ofClient.includes(name!)).sort());
  });

  test('has every initialization option, and the command that one of them promises', () => {
    const options: Required<InitializationOptions> = {
      checkPages: '',
      showPlaces: '',
      hintLength: 43,
      suggestAgain: '',
      asksNumbers: true,
      changeNotifications: true,
      files: [],
    };
    const rows = [...page.matchAll(/^\| `(\w+)` \| [^|]* \|$/gm)].map(([, name]) => name);
    expect(rows).toEqual(Object.keys(options));
    expect(page).toContain(`\`${CHANGE_CELLS}\``);
  });

  test.each(requests)('shows for %s what is really asked and answered', async (method) => {
    const [params, ...answers] = examplesIn(sections.get(method)!);
    const fake = new FakeEditor();
    await fake.start();
    await fake.open(example, URI);
    const answer = await fake.ask(method, params as object);
    await fake.stop();
    expect(answers.length).toBeLessThanOrEqual(1);
    const [shown] = answers;
    if (typeof shown === 'object' && shown !== null) expect(answer).toMatchObject(shown);
    else if (shown === null) expect(answer).toBeNull();
    else expect(answer).toEqual(expect.stringContaining('file: 1\n'));
  });
});

test('an editor that wants it is told what else may follow from a document, though nobody wrote in it', async () => {
  const files: Record<string, string> = { '/shop/base.engine.yaml': 'engine: { bore: 80 mm }\n' };
  const change = { uri: 'file:///shop/base.engine.yaml', type: 2 };
  for (const changeNotifications of [true, false]) {
    const fake = new FakeEditor(files);
    await fake.start({}, { changeNotifications });
    await fake.open('based_on: ./base.engine.yaml\n', URI);
    const hover = { textDocument: { uri: URI }, position: { line: 0, character: 0 } };
    await fake.ask('textDocument/hover', hover);
    await fake.tell('workspace/didChangeWatchedFiles', { changes: [change] });
    await fake.ask('textDocument/hover', hover);
    expect(fake.changed).toEqual(changeNotifications ? [[URI]] : []);
    expect(examplesIn(sections.get('enginewright/changed')!)).toEqual([{ uris: [URI] }]);
    await fake.stop();
  }
});

test('server and client speak no method that is not typed in the one file', () => {
  const files = ['server', 'client'].flatMap((room) =>
    readdirSync(new URL(`../../${room}`, import.meta.url), { recursive: true, encoding: 'utf8' })
      .filter((name) => name.endsWith('.ts'))
      .map((name) => read(`${room}/${name}`)),
  );
  const spoken = files.flatMap((text) => [...text.matchAll(/'(enginewright\/[a-z]\w+[A-Za-z])'/g)]);
  expect([...new Set(spoken.map(([, method]) => method))].sort()).toEqual(
    [...requests, ...notifications].sort(),
  );
});
