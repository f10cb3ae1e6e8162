import { setFlagsFromString } from 'node:v8';
import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import { findFiles, readText, realPath } from './files.ts';
import { serve } from './server.ts';

// V8 lets what lives on grow to twice its size before it looks for what does not. Nearly all that is known of a file lives
// on through an edit, so a third more is room enough. The V8 of a desktop editor may be one that ends a program which sets
// flags so late, so there it is left alone.
if (!('electron' in process.versions)) setFlagsFromString('--heap-growing-percent=30');

/**
 * The language server. VS Code starts this module with a channel of its own; any other editor starts
 * `enginewright serve --stdio`, which loads the same module.
 */
serve(
  createConnection(ProposedFeatures.all),
  readText,
  (folder) => findFiles([folder]).files.map(({ path }) => path),
  realPath,
);
