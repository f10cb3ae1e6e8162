import { hang, padEnd, wrap } from '../formats/layout.ts';
import type { TextLayout } from '../terminal.ts';
import type { Command, Listed, Option } from './command.ts';
import { commands } from './registry.ts';

/** The page of the whole program. */
export function overview({ style, width }: TextLayout): string {
  const usages = commands.map(({ name, operands }) => `${name} ${operands}`.trim());
  const column = Math.max(...usages.map((usage) => usage.length), 'help COMMAND'.length);
  const line = (usage: string, summary: string) => hang(`  ${padEnd(usage, column)}  `, summary, width);
  return `${style.bold('enginewright COMMAND')}

Checks engine controller configuration kept as YAML text and explains every derived value.

${style.bold('Commands')}
${commands.map(({ summary }, i) => line(usages[i]!, summary)).join('\n')}
${line('help COMMAND', 'Show the help of a command, as COMMAND --help does.')}
${line('--version', 'Show the version.')}

Exit status: 0 success, 1 findings at or above the --fail-on severity, 2 the command failed.
The environment variables NO_COLOR and FORCE_COLOR turn colours off and on.
`;
}

/** The page of one command. */
export function commandHelp(
  { name, operands, summary }: Listed,
  command: Command,
  { style, width }: TextLayout,
): string {
  const options = Object.entries(command.options).map(([option, described]) => {
    return [optionText(option, described), described.meaning, described.choices?.[0]] as const;
  });
  const column = Math.max(0, ...options.map(([text]) => text.length));
  const lines = options.map(([text, meaning, unset]) => {
    return hang(`  ${padEnd(text, column)}  `, unset ? `${meaning} (default: ${unset})` : meaning, width);
  });
  const usage = ['enginewright', name, operands, ...(lines.length > 0 ? ['[OPTIONS]'] : [])];
  const description = command.description.split('\n\n').map((paragraph) => {
    return wrap(paragraph.replaceAll('\n', ' '), width).join('\n');
  });
  const blocks = [style.bold(usage.filter((word) => word !== '').join(' ')), summary, ...description];
  if (lines.length > 0) blocks.push(`${style.bold('Options')}\n${lines.join('\n')}`);
  return `${blocks.join('\n\n')}\n`;
}

function optionText(name: string, { value, choices }: Option): string {
  const shown = choices?.join('|') ?? value;
  return shown === undefined ? `--${name}` : `--${name} ${shown}`;
}
