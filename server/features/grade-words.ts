import { citation } from '../../shared/physics/citation.ts';
import { grades } from '../../shared/physics/fuels.ts';
import { formatQuantity } from '../../shared/quantity/index.ts';
import { code, lines, plain } from '../markdown.ts';
import type { Spot } from './spot.ts';

/** The values that a fuel grade sets, with their sources; undefined at any other key. */
export function gradeWords({ path, value }: Spot): string | undefined {
  if (path.slice(-2).join('.') !== 'fuel.grade' || value.type !== 'scalar') return undefined;
  const found = Object.entries(grades).find(([name]) => name === value.text);
  if (!found) return undefined;
  const [name, { title, density, stoichiometricRatio, lowerHeatingValue, sources }] = found;
  const numbers = [
    `density ${code(formatQuantity(density, 'kg/L', 4))}`,
    `stoichiometric ratio ${code(formatQuantity(stoichiometricRatio, '', 4))}`,
    `lower heating value ${code(formatQuantity(lowerHeatingValue, 'MJ/kg', 4))}`,
  ];
  const citations = [...new Set(Object.values(sources))].map(citation).join('; ');
  return lines(`${code(name)} is ${plain(title)}: ${numbers.join(', ')}.`, `*${plain(citations)}*`);
}
