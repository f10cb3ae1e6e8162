import { describe, expect, test } from 'vitest';
import { documentReport, workspaceReport } from '../../server/features/pull-diagnostics.ts';
import { readSettings } from '../../server/settings.ts';
import { editor } from './marked.ts';
import { shop } from './shop.ts';

const FIXTURE = `#-- tug.engine.yaml
based_on: ./base.engine.yaml
engine: { boar: 84 mm }$0
#-- base.engine.yaml
engine: { bore: 84 bar }
`;

const reports = (
  { workspace }: ReturnType<typeof shop>,
  previousResultIds: { uri: string; value: string }[] = [],
) => workspace.paths().flatMap((path) => workspaceReport(path, { previousResultIds }, editor, workspace));

describe('findings that an editor asks for', () => {
  test('are those of the document, once', () => {
    const { analysis, workspace } = shop(FIXTURE);
    const first = documentReport(analysis, {}, editor, workspace);
    expect(first).toMatchObject({ kind: 'full' });
    expect(JSON.stringify(first)).toContain('unknown-key');
    const again = documentReport(analysis, { previousResultId: first.resultId! }, editor, workspace);
    expect(again).toEqual({ kind: 'unchanged', resultId: first.resultId });
  });

  test('of the workspace are those of files that are not open too', () => {
    const found = reports(shop(FIXTURE));
    expect(found.map(({ uri, kind }) => `${uri} ${kind}`)).toEqual([
      'file:///shop/tug.engine.yaml full',
      'file:///shop/base.engine.yaml full',
    ]);
    expect(JSON.stringify(found[1])).toContain('unit-of-wrong-kind');
  });

  test('are new where a file changes, and in what is based on it', () => {
    const given = shop(FIXTURE);
    const ids = () => reports(given).map(({ uri, resultId }) => ({ uri, value: resultId! }));
    const before = ids();
    expect(reports(given, before).map(({ kind }) => kind)).toEqual(['unchanged', 'unchanged']);
    given.workspace.rewrite('file:///shop/tug.engine.yaml', [{ text: 'based_on: ./base.engine.yaml\n' }]);
    expect(reports(given, before).map(({ kind }) => kind)).toEqual(['full', 'unchanged']);
    const between = ids();
    given.workspace.rewrite('file:///shop/base.engine.yaml', [{ text: 'engine: { bore: 84 mm }\n' }]);
    expect(reports(given, between).map(({ kind }) => kind)).toEqual(['full', 'full']);
  });

  test('count as what the user has set, which makes them new', () => {
    const { analysis, workspace } = shop(FIXTURE);
    const first = documentReport(analysis, {}, editor, workspace);
    const stricter = { ...editor, settings: readSettings({ severities: { 'unknown-key': 'hint' } }) };
    const second = documentReport(analysis, { previousResultId: first.resultId! }, stricter, workspace);
    expect(second).toMatchObject({ kind: 'full' });
    const severity = 'items' in second && second.items.find(({ code }) => code === 'unknown-key')?.severity;
    expect(severity).toBe(4);
  });
});
