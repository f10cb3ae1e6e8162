// Opens many documents in the built server, one after the other, and prints the time and memory after each thousand:
// node tests/bench/open-many.mjs [COUNT]. Each document is a sample with a different bore. The server may use 1 GB.
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { buildIfStale } from '../build.mjs';
import { EditorClient } from './client.mjs';

const count = Number(process.argv[2] ?? 10_000);
const sample = new URL('../../samples/wheatear/wheatear-10.engine.yaml', import.meta.url);
const text = readFileSync(fileURLToPath(sample), 'utf8');
const lines = text.split('\n').length;

const client = new EditorClient(['--max-old-space-size=1024', buildIfStale(), 'serve', '--stdio']);
await client.start();
const uri = (i) => `file:///many/${Math.floor(i / 100)}/${i}.engine.yaml`;
const varied = (i) => text.replace(/(?<=\n {2}bore: )\d+/, String(60 + (i % 60))).concat(`# ${i}\n`);
console.log(`${count} documents of ${lines} lines`);
let began = performance.now();
let worked = 0;
for (let i = 0; i < count; i++) {
  await client.open(uri(i), varied(i));
  if ((i + 1) % 1000 === 0) report(`opened ${i + 1}`);
}
for (let i = 0; i < count; i++) await client.edit(uri(i), 0, 0, '#\n');
report('edited all');
for (let i = 0; i < count; i++) await client.close(uri(i));
await client.open(uri(count), varied(count));
report('closed all');
await client.stop();
if (client.complaints.length > 0) throw new Error(client.complaints.join('\n'));

function report(what) {
  const seconds = (performance.now() - began) / 1000;
  const processor = (client.processorTime() ?? 0) - worked;
  worked += processor;
  const memory = client.memory()?.toFixed(0) ?? '?';
  console.log(
    `${what}: ${seconds.toFixed(1)} s (processor ${processor.toFixed(1)} s), ${memory} MB resident`,
  );
  began = performance.now();
}
