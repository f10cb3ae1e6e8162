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
  getRefs(query: object): Promise<readonly { readonly name?: string; readonly commit?: string }[]>;
  log(options: {
    readonly maxEntries: number;
  }): Promise<readonly { readonly hash: string; readonly message: string; readonly authorDate?: Date }[]>;
}

/** A commit to compare with instead of the last one, and what it is called: a branch, a tag or the start of its hash. */
export interface Revision {
  readonly name: string;
  readonly commit: string;
  /** The first line of its message, and its day, where they are known. */
  readonly about: string;
}

/**
 * A file in the commit that is compared with: its text, or `none`. `unversioned`: the file is in no open repository.
 * `unknown`: Git is not available.
 */
export type Committed =
  | { readonly state: 'committed'; readonly text: string }
  | { readonly state: 'none'; readonly revision?: Revision | undefined }
  | { readonly state: 'unversioned' }
  | { readonly state: 'unknown'; readonly why: string };

/** Why a file cannot be compared with its committed text; undefined if it can. */
export function whyNot(committed: Committed, { fileName }: vscode.TextDocument): string | undefined {
  const name = fileName.replace(/^.*[\\/]/, '');
  if (committed.state === 'unknown') return committed.why;
  if (committed.state === 'unversioned') return `${name} is not in an open Git repository.`;
  if (committed.state !== 'none') return undefined;
  return committed.revision
    ? `${committed.revision.name} does not contain ${name}.`
    : `${name} was never committed, so there is nothing to compare it with.`;
}

const DISABLED =
  'VS Code’s Git extension is disabled or, as in a browser, missing, so this file cannot be compared with its committed version.';
const OFF =
  'Git is turned off (setting git.enabled) or not installed, so this file cannot be compared with its committed version.';
const STARTING = 'Git is still scanning for repositories.';

/** The texts of the last commit, or of another revision, from VS Code's Git extension. */
export class CommittedTexts implements vscode.Disposable {
  readonly #changed = new vscode.EventEmitter<void>();
  /** Another commit is checked out or compared with, or Git has found a repository. */
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
  #revision: Revision | undefined;

  /** What is compared with; undefined for the last commit. */
  get revision(): Revision | undefined {
    return this.#revision;
  }

  compareWith(revision: Revision | undefined): void {
    this.#revision = revision;
    this.#forget();
  }

  /** The branches, the tags and the last commits of a file's repository; none before Git is known to have one. */
  async revisionsFor(uri: vscode.Uri): Promise<readonly Revision[]> {
    const repository = this.#git?.getRepository(uri);
    if (!repository) return [];
    const [refs, commits] = await Promise.all([
      repository.getRefs({}),
      repository.log({ maxEntries: MOST_COMMITS }),
    ]);
    const aboutOf = new Map(
      commits.map(({ hash, message, authorDate }) => [
        hash,
        [message.split('\n', 1)[0]!, authorDate?.toISOString().slice(0, 10)].filter(Boolean).join(', '),
      ]),
    );
    return [
      ...refs.flatMap(({ name, commit }) =>
        name !== undefined && commit !== undefined
          ? [{ name, commit, about: aboutOf.get(commit) ?? '' }]
          : [],
      ),
      ...commits.map(({ hash }) => ({ name: hash.slice(0, 8), commit: hash, about: aboutOf.get(hash)! })),
    ];
  }

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
    const text = textOf(repository, uri, this.#revision);
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

const MOST_COMMITS = 100;

async function textOf(
  repository: Repository,
  uri: vscode.Uri,
  revision: Revision | undefined,
): Promise<Committed> {
  if (repository.state.HEAD?.commit === undefined) return { state: 'none' };
  try {
    return { state: 'committed', text: await repository.show(revision?.commit ?? 'HEAD', uri.fsPath) };
  } catch {
    return { state: 'none', revision };
  }
}
