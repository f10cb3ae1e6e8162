import type { Check } from './check.ts';
import { checkPage } from './page.ts';
import { allChecks, families } from './registry.ts';

const HEAD = `# All checks

Generated from the checks by \`npm run docs\`; edit the checks, not this page.

**error**: the controller cannot hold the value, the file contradicts itself, or the engine would exceed its own limits.
**warning**: outside common practice, or without margin. **information**: worth knowing. **hint**: style.

Thresholds are common practice, not physics; a file can set others under \`checks:\`, with a reason. To accept a finding, add
the comment \`# accept CHECK-ID: reason\` on the line above it.`;

/** The reference of every check as one Markdown page: a table of contents, then the pages, family by family, by name. */
export function checkReference(): string {
  const chapters = families.map(({ title, checks }) => ({ title, checks: [...checks].sort(byId) }));
  const contents = chapters.map(({ title, checks }) => {
    const rows = checks.map(
      (check) => `| [\`${check.id}\`](#${check.id}) | ${check.severity} | ${check.title} |`,
    );
    return `**${title}**\n\n| Check | Severity | What it finds |\n|---|---|---|\n${rows.join('\n')}`;
  });
  const pages = chapters.map(
    ({ title, checks }) =>
      `## ${title}\n\n${checks.map((check) => `<a id="${check.id}"></a>\n\n${checkPage(check, 3)}`).join('\n')}`,
  );
  return `${[HEAD, `${allChecks.length} checks.`, ...contents, ...pages].join('\n\n').trimEnd()}\n`;
}

function byId(a: Check, b: Check): number {
  return a.id < b.id ? -1 : 1;
}
