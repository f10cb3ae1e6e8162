import * as vscode from 'vscode';
import { cellCommands } from './cell-commands.ts';
import { checkPages } from './check-pages.ts';
import { CommittedTexts } from './committed.ts';
import { isEngineFile } from './files.ts';
import { installationPanel } from './installation-panel/panel.ts';
import { checkPageScheme, type Host, LanguageServer } from './language-server.ts';
import { mapPanel } from './map-panel/panel.ts';
import { memoryPanel } from './memory-panel/panel.ts';
import { newController } from './new-controller.ts';
import { newInstallation } from './new-installation.ts';
import { imageComparison } from './review/compare-image.ts';
import { revisionComparison } from './review/compare-revision.ts';
import { type Outcome, Reviews } from './review/reviews.ts';
import { reviewView } from './review/view.ts';
import { runPanel } from './run-panel/panel.ts';
import { showPlaces, showPlacesCommand } from './show-places.ts';
import { languageStatus } from './status.ts';

/** The API of the extension, for other extensions and for its tests. */
export interface Enginewright {
  /** Whether the language server is running. */
  readonly serverRunning: boolean;
  /** How a document changes the engine since the last commit. */
  review(document: vscode.TextDocument): Promise<Outcome | undefined>;
}

let server: LanguageServer | undefined;

/**
 * VS Code calls this for any YAML file, in the host that it runs extensions in. The server does not start until an engine or
 * controller file is open; other YAML files are ignored.
 */
export function activateIn(context: vscode.ExtensionContext, host: Host): Enginewright {
  const languageServer = new LanguageServer(host);
  server = languageServer;
  const committed = new CommittedTexts();
  const reviews = new Reviews(languageServer, committed);

  const maps = mapPanel(languageServer, committed, context.extensionUri);

  const startFor = (document: vscode.TextDocument): void => {
    if (isEngineFile(document)) void languageServer.start();
  };
  context.subscriptions.push(
    vscode.workspace.onDidOpenTextDocument(startFor),
    vscode.workspace.registerTextDocumentContentProvider(checkPageScheme, checkPages(context.extensionUri)),
    vscode.commands.registerCommand(showPlacesCommand, showPlaces),
    ...cellCommands(languageServer, () => maps.where),
    languageStatus(languageServer),
    committed,
    maps,
    reviews,
    reviewView(reviews),
    imageComparison(languageServer, reviews),
    revisionComparison(committed, reviews),
    installationPanel(languageServer, context.extensionUri),
    memoryPanel(languageServer, context.extensionUri),
    runPanel(languageServer, context.extensionUri),
    vscode.commands.registerCommand('enginewright.newInstallation', () => newInstallation(languageServer)),
    vscode.commands.registerCommand('enginewright.newController', () => newController(languageServer)),
    vscode.commands.registerCommand('enginewright.restartServer', () => languageServer.restart()),
  );
  vscode.workspace.textDocuments.forEach(startFor);

  return {
    get serverRunning() {
      return languageServer.running;
    },
    review: (document) => reviews.of(document),
  };
}

export async function deactivate(): Promise<void> {
  await server?.stop();
}
