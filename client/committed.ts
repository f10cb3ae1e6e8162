import * as vscode from 'vscode';

/** The part of VS Code's Git extension that is used here. */
interface GitExtension {
  readonly enabled: boolean;
  readonly onDidChangeEnablement: vscode.Event<boolean>;
  getAPI(version: 1): Git;
}

interface Git {
  readonly state: 'uninitialized' | 'initialized';
  readonly repositories: readonly Repository[];
  readonly onDidChangeState: vscode.Event<unknown>;
  readonly onDidOpenRepository: vscode.Event<Repository>;
  readonly onDidCloseRepository: vscode.Event<Repository>;
  getRepository(uri: vscode.Uri): Repository | null;
}

interface Repository {
  readonly state: { readonly HEAD?: { readonly commit?: string }; readonly onDidChange: vscode.Event<void> };
  show(ref: string, path: string): Promise<string>;
}

/**
 * A file in the last commit: its text, or `none`. `unversioned`: the file is in no open repository. `unknown`: Git is not
 * available.
 */
export type Committed =
  | { readonly state: 'committed'; readonly text: string }
  | { readonly state: 'none' | 'unversioned' }
  | { readonly state: 'unknown'; readonly why: string };

/** Why a file cannot be compared with its committed text; undefined if it can. */
export function whyNot(committed: Committed, { fileName }: vscode.TextDocument): string | undefined {
  const name = fileName.replace(/^.*[\\/]/, '');
  if (committed.state === 'unknown') return committed.why;
  if (committed.state === 'unversioned') return `${name} is not in an open Git repository.`;
  return committed.state === 'none'
    ? `${name} was never committed, so there is nothing to compare it with.`
    : undefined;
}

const DISABLED =
  'VS Code’s Git extension is disabled or, as in a browser, missing, so this file cannot be compared with its committed version.';
const OFF =
  'Git is turned off (setting git.enabled) or not installed, so this file cannot be compared with its committed version.';
const STARTING = 'Git is still scanning for repositories.';

/** The texts of the last commit, from VS Code's Git extension. */
export class CommittedTexts implements vscode.Disposable {
  readonly #changed = new vscode.EventEmitter<void>();
  /** Another commit is checked out, or Git has found a repository. */
  readonly onDidChange = this.#changed.event;
  readonly #subscriptions: vscode.Disposable[] = [
    this.#changed,
    vscode.workspace.onDidChangeConfiguration((change) => {
      if (change.affectsConfiguration('git.enabled')) this.#forget();
    }),
  ];
  readonly #heads = new Map<Repository, string | undefined>();
  readonly #texts = new Map<string, Promise<Committed>>();
  #extension: Promise<GitExtension | undefined> | undefined;
  #git: Git | undefined;

  async of(uri: vscode.Uri): Promise<Committed> {
    this.#extension ??= this.#activate().catch(() => undefined);
    const extension = await this.#extension;
    if (!extension) return { state: 'unknown', why: DISABLED };
    if (!extension.enabled || !isOn(uri)) return { state: 'unknown', why: OFF };
    this.#git ??= this.#listen(extension.getAPI(1));
    const repository = this.#git.getRepository(uri);
    if (!repository && this.#git.state !== 'initialized') return { state: 'unknown', why: STARTING };
    if (!repository) return { state: 'unversioned' };
    const key = uri.toString();
    const known = this.#texts.get(key);
    if (known) return known;
    const text = textOf(repository, uri);
    this.#texts.set(key, text);
    return text;
  }

  dispose(): void {
    for (const one of this.#subscriptions) one.dispose();
  }

  async #activate(): Promise<GitExtension | undefined> {
    const git = vscode.extensions.getExtension<GitExtension>('vscode.git');
    if (!git) return undefined;
    const extension = await git.activate();
    this.#subscriptions.push(
      extension.onDidChangeEnablement(() => {
        this.#git = undefined;
        this.#forget();
      }),
    );
    return extension;
  }

  #listen(git: Git): Git {
    const follow = (repository: Repository): void => {
      this.#heads.set(repository, repository.state.HEAD?.commit);
      this.#subscriptions.push(repository.state.onDidChange(() => this.#look(repository)));
    };
    git.repositories.forEach(follow);
    this.#subscriptions.push(
      git.onDidChangeState(() => this.#forget()),
      git.onDidOpenRepository((repository) => {
        follow(repository);
        this.#forget();
      }),
      git.onDidCloseRepository((repository) => {
        this.#heads.delete(repository);
        this.#forget();
      }),
    );
    return git;
  }

  /** A repository reports every change of its files; only another commit matters here. */
  #look(repository: Repository): void {
    const commit = repository.state.HEAD?.commit;
    if (this.#heads.get(repository) === commit) return;
    this.#heads.set(repository, commit);
    this.#forget();
  }

  #forget(): void {
    this.#texts.clear();
    this.#changed.fire();
  }
}

const isOn = (uri: vscode.Uri): boolean => vscode.workspace.getConfiguration('git', uri).get('enabled', true);

async function textOf(repository: Repository, uri: vscode.Uri): Promise<Committed> {
  if (repository.state.HEAD?.commit === undefined) return { state: 'none' };
  try {
    return { state: 'committed', text: await repository.show('HEAD', uri.fsPath) };
  } catch {
    return { state: 'none' };
  }
}
