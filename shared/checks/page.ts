import type { Check } from './check.ts';

/** The page of a check as Markdown. */
export function checkPage({ id, title, severity, page, settings = {} }: Check): string {
  const thresholds = Object.entries(settings).map(
    ([name, { value, meaning }]) => `- \`${name}\`, \`${value}\` unless the file says otherwise: ${meaning}`,
  );
  const sections = [
    `# ${title}`,
    `\`${id}\` · ${severity}`,
    page.catches,
    `## Why it matters\n\n${page.why}`,
    `## Example\n\n\`\`\`yaml\n${page.example.trimEnd()}\n\`\`\``,
    `## What to do\n\n${page.remedy}`,
    ...(thresholds.length > 0
      ? [`## Thresholds\n\n${thresholds.join('\n')}\n\n${override(id, settings)}`]
      : []),
    `## Basis\n\n${page.basis}`,
  ];
  return `${sections.join('\n\n')}\n`;
}

function override(id: string, settings: NonNullable<Check['settings']>): string {
  const own = Object.entries(settings).map(([name, { value }]) => `    ${name}: ${value}`);
  return `\`\`\`yaml\nchecks:\n  ${id}:\n${own.join('\n')}\n    reason: why this engine departs from it\n\`\`\``;
}
