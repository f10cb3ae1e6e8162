import type { Check, CurveSetting } from './check.ts';

/** The page of a check as Markdown; `level` is that of its heading. */
export function checkPage(
  { id, title, severity, page, settings = {}, curves = {} }: Check,
  level = 1,
): string {
  const [head, part] = ['#'.repeat(level), '#'.repeat(level + 1)];
  const thresholds = Object.entries(settings).map(
    ([name, { value, meaning }]) => `- \`${name}\`, default \`${value}\`: ${meaning}`,
  );
  for (const [name, { meaning, ...curve }] of Object.entries(curves))
    thresholds.push(`- \`${name}\`, a curve, default \`${curveText(curve)}\`: ${meaning}`);
  const sections = [
    `${head} ${title}`,
    `\`${id}\` · ${severity}`,
    page.catches,
    `${part} Why it matters\n\n${page.why}`,
    `${part} Example\n\n\`\`\`yaml\n${page.example.trimEnd()}\n\`\`\``,
    `${part} What to do\n\n${page.remedy}`,
    ...(thresholds.length > 0
      ? [`${part} Thresholds\n\n${thresholds.join('\n')}\n\n${override(id, settings, curves)}`]
      : []),
    `${part} Basis\n\n${page.basis}`,
  ];
  return `${sections.join('\n\n')}\n`;
}

/** A curve as a file would write it on one line. */
function curveText({ x, unit, breakpoints, values }: Omit<CurveSetting, 'meaning'>): string {
  return `{ x: { quantity: ${x}, unit: ${unit}, breakpoints: [${breakpoints.join(', ')}] }, values: [${values.join(', ')}] }`;
}

function override(
  id: string,
  settings: NonNullable<Check['settings']>,
  curves: NonNullable<Check['curves']>,
): string {
  const own = [
    ...Object.entries(settings).map(([name, { value }]) => `    ${name}: ${value}`),
    ...Object.entries(curves).map(([name, curve]) => `    ${name}: ${curveText(curve)}`),
  ];
  return `\`\`\`yaml\nchecks:\n  ${id}:\n${own.join('\n')}\n    reason: why this engine needs another threshold\n\`\`\``;
}
