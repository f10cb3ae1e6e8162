import type { Readable, Writable } from 'node:stream';
import { createConnection, StreamMessageReader, StreamMessageWriter } from 'vscode-languageserver/node';
import { serve } from '../../server/server.ts';
import type { Disk } from '../../server/texts.ts';

/** Serves an editor over two streams. */
export function serveStreams(fromEditor: Readable, toEditor: Writable, disk: Disk): void {
  serve(
    (options) =>
      createConnection(new StreamMessageReader(fromEditor), new StreamMessageWriter(toEditor), options),
    disk,
  );
}
