import { type Command, UsageError } from './command.ts';

export const serve: Command = {
  options: {
    stdio: { meaning: 'communicate over standard input and output (required)' },
    clientProcessId: { value: 'ID', meaning: 'exit when this process ends' },
  },
  description: 'Runs the language server (Language Server Protocol) until the editor ends it.',
  async run(call) {
    if (call.operands.length > 0) throw new UsageError('`serve` takes no files; the editor opens them.');
    if (call.option('stdio') === undefined) {
      throw new UsageError('`serve` needs `--stdio`.');
    }
    await import('../main.ts');
    return undefined;
  },
};
