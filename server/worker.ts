import {
  BrowserMessageReader,
  BrowserMessageWriter,
  createConnection,
  ProposedFeatures,
} from 'vscode-languageserver/browser';
import { serve } from './server.ts';

/** The language server in a browser: a worker, which the extension starts and sends the files of the workspace. */
serve((options) =>
  createConnection(
    ProposedFeatures.all,
    new BrowserMessageReader(self),
    new BrowserMessageWriter(self),
    options,
  ),
);
