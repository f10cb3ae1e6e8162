import type { Listed } from './command.ts';

/** Every command, in the order of the help. A new command is a file and an entry here. */
export const commands: readonly Listed[] = [
  {
    name: 'check',
    operands: 'PATH...',
    summary: 'Check engine and controller files, and folders of them.',
    load: async () => (await import('./check.ts')).check,
  },
  {
    name: 'derive',
    operands: 'FILE',
    summary: 'Print the derived values of an engine file, with formulas and sources.',
    load: async () => (await import('./derive.ts')).derive,
  },
  {
    name: 'prove',
    operands: 'FILE...',
    summary: 'Prove bounds for the derived values over all states of the envelope.',
    load: async () => (await import('./prove.ts')).prove,
  },
  {
    name: 'faults',
    operands: 'FILE...',
    summary: 'Print the fault table: what each single fault does to the engine.',
    load: async () => (await import('./faults.ts')).faults,
  },
  {
    name: 'bus',
    operands: 'FILE',
    summary: 'Print the CAN messages, for displays and recorders.',
    load: async () => (await import('./bus.ts')).bus,
  },
  {
    name: 'compare',
    operands: 'OLD NEW | REV..REV',
    summary: 'Show what a change does to the engine: values, margins, findings.',
    load: async () => (await import('./compare.ts')).compare,
  },
  {
    name: 'image',
    operands: 'FILE',
    summary: 'Build the storage image of an engine, or list its values.',
    load: async () => (await import('./image.ts')).image,
  },
  {
    name: 'verify',
    operands: 'IMAGE FILE | DIR',
    summary: 'Compare an image with an engine file, or check a release.',
    load: async () => (await import('./verify.ts')).verify,
  },
  {
    name: 'read',
    operands: 'IMAGE',
    summary: 'Print the values in an image, or bring them into a file.',
    load: async () => (await import('./read.ts')).read,
  },
  {
    name: 'release',
    operands: 'FILE',
    summary: 'Make the folder with everything to archive and hand on.',
    load: async () => (await import('./release.ts')).release,
  },
  {
    name: 'runs',
    operands: 'RUN...',
    summary: 'Compare measured runs with the engine file, and with each other.',
    load: async () => (await import('./runs.ts')).runs,
  },
  {
    name: 'report',
    operands: 'FILE',
    summary: 'Write the report of one installation as an HTML page.',
    load: async () => (await import('./report.ts')).report,
  },
  {
    name: 'explain',
    operands: '[CHECK-ID]',
    summary: 'Explain a check; without an id, list all checks.',
    load: async () => (await import('./explain.ts')).explain,
  },
  {
    name: 'serve',
    operands: '',
    summary: 'Run the language server for any editor.',
    load: async () => (await import('./serve.ts')).serve,
  },
];

export function commandNamed(name: string): Listed | undefined {
  return commands.find((command) => command.name === name);
}
