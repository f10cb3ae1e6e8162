import { plainText } from '../plain-text.ts';
import type { TextLayout } from '../terminal.ts';
import { hang } from './layout.ts';

/** Formats Markdown for a terminal: the headings, paragraphs, lists and code blocks that our pages use. */
export function markdownText(markdown: string, paper: TextLayout): string {
  // Code blocks may contain empty lines, so they are split off first.
  const blocks = markdown.split(/^(```[^\n]*\n[\s\S]*?\n```)$/m).flatMap((part) => {
    return part.startsWith('```') ? [part] : part.split(/\n\s*\n/);
  });
  const texts = blocks.map((block) => block.trim()).filter((block) => block !== '');
  return `${texts.map((block) => blockText(block, paper)).join('\n\n')}\n`;
}

function blockText(block: string, { style, width }: TextLayout): string {
  const heading = /^#+ (.*)$/.exec(block);
  if (heading) return style.bold(style.blue(plainText(heading[1]!)));
  if (block.startsWith('```')) {
    const code = block.split('\n').slice(1, -1);
    return code.map((line) => (line === '' ? '' : `    ${line}`)).join('\n');
  }
  if (block.startsWith('- ')) {
    return block
      .split(/\n(?=- )/)
      .map((item) => hang('  - ', oneLine(plainText(item.slice(2))), width))
      .join('\n');
  }
  return hang('  ', oneLine(plainText(block)), width);
}

function oneLine(text: string): string {
  return text.replace(/\s*\n\s*/g, ' ');
}
