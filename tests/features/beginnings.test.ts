import { describe, expect, test } from 'vitest';
import type { Editor } from '../../server/editor.ts';
import { completionAt } from '../../server/features/completion/completion.ts';
import { newInstallation } from '../../shared/starting/new-installation.ts';
import { editor, emptyWorkspace, marked, plainEditor } from './marked.ts';

const offered = (text: string, to: Editor = editor, name?: string) => {
  const { analysis, position } = marked(text, name);
  return completionAt(analysis, { position }, to, emptyWorkspace).filter(({ label }) =>
    label.startsWith('New '),
  );
};

describe('a whole file to begin with', () => {
  test('is offered while the file holds nothing', () => {
    expect(offered('$0').map(({ label }) => label)).toEqual([
      'New turbocharged installation',
      'New naturally aspirated installation',
    ]);
    expect(offered('# a note\nne$0')).toHaveLength(2);
  });

  test('is not offered beside anything else, nor inside a section, nor for a controller', () => {
    expect(offered('enginefile: 1\n$0')).toEqual([]);
    expect(offered('engine:\n  $0')).toEqual([]);
    expect(offered('$0', editor, 'case.controller.yaml')).toEqual([]);
  });

  test('keys that a file has at its left edge are not offered again', () => {
    const { analysis, position } = marked('enginefile: 1\ntitle: One\n$0');
    const labels = completionAt(analysis, { position }, editor, emptyWorkspace).map(({ label }) => label);
    expect(labels).toContain('controller');
    expect(labels).not.toContain('enginefile');
  });

  test('has a stop at every placeholder where the editor knows stops, and is plain text elsewhere', () => {
    const [boosted] = offered('$0');
    const text = newInstallation({ boosted: true });
    const stops = boosted?.textEdit?.newText.match(/\$\{\d+:…\}/g) ?? [];
    expect(stops).toHaveLength(text.split('…').length - 1);
    expect(boosted?.textEdit?.newText.replaceAll(/\$\{\d+:…\}/g, '…')).toBe(text);
    expect(offered('$0', plainEditor)[0]?.textEdit?.newText).toBe(text);
  });
});
