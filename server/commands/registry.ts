import type { Listed } from './command.ts';

/** Every command, in the order of the help. A new one is a file and an entry here. */
export const commands: readonly Listed[] = [
  {
    name: 'check',
    operands: 'PATH...',
    summary: 'Check engine and controller files, and those below folders.',
    load: async () => (await import('./check.ts')).check,
  },
  {
    name: 'derive',
    operands: 'FILE',
    summary: 'Print what follows from an engine file, with formulas and sources.',
    load: async () => (await import('./derive.ts')).derive,
  },
  {
    name: 'bus',
    operands: 'FILE',
    summary: 'Print the CAN messages, as a database file for displays.',
    load: async () => (await import('./bus.ts')).bus,
  },
  {
    name: 'compare',
    operands: 'OLD NEW | REV..REV',
    summary: 'Say what a change does to the engine: values, limits, findings.',
    load: async () => (await import('./compare.ts')).compare,
  },
  {
    name: 'report',
    operands: 'FILE',
    summary: 'Write the dossier of one installation as a page of HTML.',
    load: async () => (await import('./report.ts')).report,
  },
  {
    name: 'explain',
    operands: '[CHECK-ID]',
    summary: 'Say what a check catches, why, and what to do; alone, list the checks.',
    load: async () => (await import('./explain.ts')).explain,
  },
  {
    name: 'serve',
    operands: '',
    summary: 'Run the language server, for any editor.',
    load: async () => (await import('./serve.ts')).serve,
  },
];

export function commandNamed(name: string): Listed | undefined {
  return commands.find((command) => command.name === name);
}
