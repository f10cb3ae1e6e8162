import { createConnection, ProposedFeatures } from 'vscode-languageserver/node';

/**
 * The language server. VS Code starts this module with a channel of its own; any other editor starts
 * `enginewright serve --stdio`, which loads the same module.
 */
const connection = createConnection(ProposedFeatures.all);

connection.onInitialize(() => ({ capabilities: {}, serverInfo: { name: 'enginewright' } }));

connection.listen();
