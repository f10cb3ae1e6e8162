import { expect, test } from 'vitest';
import { mergedCapabilities } from '../../server/capabilities.ts';
import { features } from '../../server/features/registry.ts';

test('what several features offer of one thing is offered together', () => {
  const merged = mergedCapabilities([
    { workspace: { workspaceFolders: { supported: true } }, hoverProvider: true },
    { workspace: { fileOperations: { didRename: { filters: [] } } } },
    { workspace: { fileOperations: { didDelete: { filters: [] } } }, hoverProvider: true },
  ]);
  expect(merged).toEqual({
    workspace: {
      workspaceFolders: { supported: true },
      fileOperations: { didRename: { filters: [] }, didDelete: { filters: [] } },
    },
    hoverProvider: true,
  });
});

test('lists are put one behind the other, each member once', () => {
  const kinds = (...codeActionKinds: string[]) => ({ codeActionProvider: { codeActionKinds } });
  expect(mergedCapabilities([kinds('quickfix', 'source'), kinds('source', 'refactor')])).toEqual(
    kinds('quickfix', 'source', 'refactor'),
  );
});

test('what is offered is not changed by being put together', () => {
  const first = { workspace: { workspaceFolders: { supported: true } } };
  mergedCapabilities([first, { workspace: { workspaceFolders: { changeNotifications: true } } }]);
  expect(first).toEqual({ workspace: { workspaceFolders: { supported: true } } });
});

test('two features that contradict each other are found out', () => {
  const resolving = (resolveProvider: boolean) => ({ codeLensProvider: { resolveProvider } });
  expect(() => mergedCapabilities([resolving(true), resolving(false)])).toThrow(
    'Two features declare different values of codeLensProvider.resolveProvider: true and false.',
  );
  expect(() => mergedCapabilities(features.map(({ capabilities }) => capabilities))).not.toThrow();
});
