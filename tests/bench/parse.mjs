// Parses each file of a folder once with the `yaml` package and prints the time in ms, without reading.
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { parseDocument } from 'yaml';

const folder = process.argv[2];
const texts = readdirSync(folder)
  .filter((name) => name.endsWith('.engine.yaml'))
  .map((name) => readFileSync(join(folder, name), 'utf8'));
const from = performance.now();
for (const text of texts) parseDocument(text);
console.log(performance.now() - from);
