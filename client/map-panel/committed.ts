import * as vscode from 'vscode';

/** As much of the editor's own git extension as is used here. */
interface Git {
  getAPI(version: 1): {
    getRepository(uri: vscode.Uri): Repository | null;
  };
}

interface Repository {
  readonly state: { readonly HEAD?: { readonly commit?: string } };
  show(ref: string, path: string): Promise<string>;
}

let known: { readonly key: string; readonly text: string } | undefined;

/** The text of a file as it was last committed; undefined where there is none. */
export async function committedText({ uri }: vscode.TextDocument): Promise<string | undefined> {
  const git = vscode.extensions.getExtension<Git>('vscode.git');
  try {
    const repository = (await git?.activate())?.getAPI(1).getRepository(uri);
    if (!repository) return undefined;
    const key = `${repository.state.HEAD?.commit} ${uri}`;
    if (known?.key !== key) known = { key, text: await repository.show('HEAD', uri.fsPath) };
    return known.text;
  } catch {
    // Git knows no such file, or is switched off.
    return undefined;
  }
}
