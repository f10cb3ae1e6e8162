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
