import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import { verifyCaches } from '../shared/memo.ts';
import { findFiles, readText, realPath, stampOf } from './files.ts';
import { serve } from './server.ts';
import { keepHeapSmall, optimizeLate } from './v8-flags.ts';

optimizeLate();
verifyCaches(process.env.ENGINEWRIGHT_VERIFY === '1');
keepHeapSmall();

/**
 * The language server. VS Code starts this module over IPC; other editors start `enginewright serve --stdio`, which loads
 * the same module.
 */
serve((options) => createConnection(ProposedFeatures.all, options), {
  read: readText,
  list: (folder) => findFiles([folder]).files.map(({ path }) => path),
  realPath,
  stamp: stampOf,
});
