import * as vscode from 'vscode';
import type { AboutDocument, Answer, CustomMethod, Params } from '../../server/protocol.ts';
import { rangeFrom } from '../cell-commands.ts';
import { isEngineFile } from '../files.ts';
import { FollowingPanel, OnePanel } from '../following-panel.ts';
import { goTo } from '../go-to-place.ts';
import type { LanguageServer } from '../language-server.ts';
import { panelBeside } from '../webview-page.ts';
import type { FromPanel, PageName, ToPanel } from './messages.ts';

/** The command that shows the installation to the side. One panel follows the active text. */
export function installationPanel(server: LanguageServer, extension: vscode.Uri): vscode.Disposable {
  const panel = new OnePanel((closed) => new InstallationPanel(server, extension, closed));
  return vscode.Disposable.from(
    vscode.commands.registerCommand('enginewright.showInstallation', () => void panel.shown()),
    vscode.commands.registerCommand('enginewright.showHarness', () => panel.shown().open('harness')),
    vscode.commands.registerCommand('enginewright.showFaultTable', () => panel.shown().open('faults')),
    panel,
  );
}

/** Long enough to combine a burst of keys, too short to be noticed. */
const QUIET_MS = 120;

class InstallationPanel extends FollowingPanel {
  #canDraw = false;
  /** The page that the panel shows, or is to show as soon as it can. */
  #page: PageName | undefined;

  constructor(server: LanguageServer, extension: vscode.Uri, closed: () => void) {
    const panel = panelBeside(extension, 'enginewright.installation', 'installation-panel', 'Installation');
    super(panel, server, QUIET_MS, closed);
    const { workspace } = vscode;
    this.keep(
      panel.webview.onDidReceiveMessage((message: FromPanel) => this.#hear(message)),
      workspace.onDidChangeTextDocument(({ document }) => {
        if (isEngineFile(document)) this.refresh();
      }),
      server.onDidChange(() => this.refresh()),
    );
  }

  /** Shows a page. */
  open(page: PageName): void {
    this.#page = page;
    if (this.#canDraw) this.#tell({ type: 'page', page });
  }

  override reveal(): void {
    this.#follow(vscode.window.activeTextEditor?.document);
    super.reveal();
  }

  override refresh(): void {
    if (this.#canDraw) super.refresh();
  }

  protected async ask(): Promise<void> {
    this.#follow(vscode.window.activeTextEditor?.document);
    const isLast = this.begin();
    const view = await this.#question('enginewright/installationView', (document) => document);
    if (!isLast() || view === undefined) return;
    if (view) this.panel.title = view.title;
    this.#tell({ type: 'shown', view });
    if (isLast()) await this.#askPage(isLast);
  }

  /** Requests the data of a page that takes longer than the others. */
  async #askPage(isLast = () => true): Promise<void> {
    const page = this.#page;
    if (page !== 'harness' && page !== 'faults') return;
    if (page === 'harness') {
      const view = await this.#question('enginewright/harness', (document) => document);
      if (isLast() && view !== undefined) this.#tell({ type: 'harness', view });
    } else {
      const view = await this.#question('enginewright/faults', (document) => document);
      if (isLast() && view !== undefined) this.#tell({ type: 'faults', view });
    }
  }

  /** A controller file opened from the panel belongs to the engine shown, and possibly to others. */
  #follow(document: vscode.TextDocument | undefined): void {
    if (!document || !isEngineFile(document)) return;
    const isLookedUp = document.uri.path.endsWith('.controller.yaml') && this.document?.isClosed === false;
    if (!isLookedUp) this.document = document;
  }

  /** Undefined if the text has changed since; the request is then made again. */
  async #question<Method extends CustomMethod>(
    method: Method,
    params: (document: AboutDocument) => Params<Method>,
  ): Promise<Answer<Method> | null | undefined> {
    if (!this.document) return null;
    const textDocument = { uri: this.document.uri.toString() };
    try {
      return await this.server.ask(method, params({ textDocument }));
    } catch {
      return undefined;
    }
  }

  #tell(message: ToPanel): void {
    void this.panel.webview.postMessage(message);
  }

  async #hear(message: FromPanel): Promise<void> {
    if (message.type === 'ready') {
      this.#canDraw = true;
      if (this.#page) this.#tell({ type: 'page', page: this.#page });
      this.refresh();
    } else if (message.type === 'page') {
      this.#page = message.page;
      await this.#askPage();
    } else if (message.type === 'go') await goTo(message.place);
    else if (message.type === 'add') {
      const { value } = message;
      const added = await this.#question('enginewright/addedState', (document) => ({ ...document, value }));
      await add(added);
    } else {
      const { asked } = message;
      const explanation = await this.#question('enginewright/explanation', (document) => ({
        ...document,
        asked,
      }));
      if (explanation !== undefined) this.#tell({ type: 'explained', asked, explanation });
    }
  }
}

/** Adds an operating point and shows it. */
async function add(added: Answer<'enginewright/addedState'> | undefined): Promise<void> {
  const { window, workspace, Uri, WorkspaceEdit } = vscode;
  if (!added) {
    void window.showErrorMessage(
      'The state cannot be added: the text has changed, or operating_points is not a section of keys.',
    );
    return;
  }
  const change = new WorkspaceEdit();
  const uri = Uri.parse(added.uri);
  for (const { range, newText } of added.edits) change.replace(uri, rangeFrom(range), newText);
  if (!(await workspace.applyEdit(change))) return;
  const document = await workspace.openTextDocument(uri);
  const at = document.positionAt(document.getText().indexOf(`${added.name}:`));
  await goTo({ uri: added.uri, range: { start: at, end: at }, name: added.name });
}
