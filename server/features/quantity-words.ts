import { alsoIn, formatQuantity, formatUnit, type Quantity } from '../../shared/quantity/index.ts';
import type { Kind } from '../../shared/quantity/kinds.ts';
import { bold, code, lines } from '../markdown.ts';
import { type PreferredUnits, preferred } from '../preferred-units.ts';

/** `**Bore** 76 mm`, and below it the same in other units, first the one that the reader prefers. */
export function quantityWords(
  label: string,
  quantity: Quantity,
  kind: Kind | undefined,
  units: PreferredUnits,
): string {
  const wanted = preferred({ canonical: quantity.canonical, show: unitOf(quantity) }, units).show;
  const isOther = wanted !== unitOf(quantity);
  const first = isOther ? [formatQuantity(quantity.canonical, wanted, 4)] : [];
  const others = [...new Set([...first, ...alsoIn(quantity, kind)])];
  return lines(
    `${bold(label)} ${code(writtenText(quantity))}`,
    others.length > 0 ? `= ${others.map(code).join(' · ')}` : undefined,
  );
}

function writtenText(quantity: Quantity): string {
  return `${quantity.number} ${unitOf(quantity)}`.trimEnd();
}

const unitOf = ({ unit, reference }: Quantity): string => (unit ? formatUnit(unit, reference) : '');
