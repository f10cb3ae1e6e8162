import { type Command, Refusal } from './command.ts';

export const serve: Command = {
  options: {
    stdio: { meaning: 'speak on standard input and output; the only way there is' },
    clientProcessId: { value: 'ID', meaning: 'the process that the server ends with' },
  },
  description: 'Speaks the Language Server Protocol until the editor says goodbye.',
  async run(call) {
    if (call.operands.length > 0) throw new Refusal('`serve` takes no file: the editor names the files.');
    if (call.option('stdio') === undefined) {
      throw new Refusal('`serve` speaks on standard input and output: add --stdio.');
    }
    try {
      await import('../main.ts');
    } catch (error) {
      if ((error as NodeJS.ErrnoException).code !== 'MODULE_NOT_FOUND') throw error;
      throw new Refusal('`serve` needs server.cjs beside the program: copy that too.');
    }
    return undefined;
  },
};
