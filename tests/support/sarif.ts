import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import Ajv from 'ajv-draft-04';
import addFormats from 'ajv-formats';

const require = createRequire(import.meta.url);
/** The schema of SARIF 2.1.0 rtm.5 by OASIS, from @microsoft/jest-sarif 1.0.0-beta.0. */
const schema = JSON.parse(
  readFileSync(require.resolve('@microsoft/jest-sarif/lib/schemas/sarif-2.1.0-rtm.5.json'), 'utf8'),
) as object;
// The `u` flag does not allow one of the patterns in the schema.
const ajv = new Ajv({ strict: false, allErrors: true, unicodeRegExp: false });
addFormats.default(ajv);
const validate = ajv.compile(schema);

/** The violations of the SARIF schema in a log. */
export function sarifFaults(log: unknown): string[] {
  validate(log);
  return (validate.errors ?? []).map(({ instancePath, message }) => `${instancePath} ${message}`);
}

export interface SarifResult {
  readonly ruleId: string;
  readonly ruleIndex: number;
  readonly level: string;
  readonly partialFingerprints: Readonly<Record<string, string>>;
  readonly [key: string]: unknown;
}

export interface SarifLog {
  readonly runs: readonly [
    {
      readonly tool: { readonly driver: { readonly rules: readonly { readonly id: string }[] } };
      readonly invocations: readonly object[];
      readonly columnKind: string;
      readonly results: readonly SarifResult[];
    },
  ];
}
