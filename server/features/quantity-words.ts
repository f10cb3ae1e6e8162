import { alsoIn, formatUnit, type Quantity } from '../../shared/quantity/index.ts';
import type { Kind } from '../../shared/quantity/kinds.ts';
import { bold, code, lines } from '../markdown.ts';

/** `**Bore** 76 mm`, and beneath it the same in other units. */
export function quantityWords(label: string, quantity: Quantity, kind?: Kind): string {
  const others = alsoIn(quantity, kind);
  return lines(
    `${bold(label)} ${code(writtenText(quantity))}`,
    others.length > 0 ? `= ${others.map(code).join(' · ')}` : undefined,
  );
}

function writtenText({ number, unit, reference }: Quantity): string {
  return unit ? `${number} ${formatUnit(unit, reference)}` : String(number);
}
