import type { ChildProcess } from 'node:child_process';
import type { Readable, Writable } from 'node:stream';
import type { CancellationToken, Diagnostic, Position, Range } from 'vscode-languageserver/node';

export interface Change {
  readonly range: Range;
  readonly text: string;
}

export interface ClientOptions {
  folder?: string;
  folders?: string[];
  settings?: (section: string) => unknown;
}

export class ProtocolClient {
  constructor(fromServer: Readable, toServer: Writable, options?: ClientOptions);
  readonly ended: Promise<number | null>;
  readonly complaints: string[];
  readonly published: Map<string, Diagnostic[]>;
  start(processId?: number): Promise<void>;
  openFolders(folders: string[]): Promise<void>;
  ask(method: string, params?: object, token?: CancellationToken): Promise<unknown>;
  tell(method: string, params?: object): Promise<void>;
  open(uri: string, text: string): Promise<Diagnostic[]>;
  edit(uri: string, start: number, end: number, text: string): Promise<Diagnostic[]>;
  change(uri: string, edit: { start: number; end: number; text: string }): Change;
  send(uri: string, changes: readonly Change[]): Promise<Diagnostic[]>;
  close(uri: string): Promise<void>;
  text(uri: string): string | undefined;
  findings(uri: string, version: number): Promise<Diagnostic[]>;
}

export class EditorClient extends ProtocolClient {
  constructor(args: readonly string[], options?: ClientOptions);
  readonly process: ChildProcess;
  start(): Promise<void>;
  memory(): number | undefined;
  processorTime(): number | undefined;
  stop(): Promise<void>;
}

export function positionIn(text: string, offset: number): Position;
