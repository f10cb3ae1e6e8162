import { measuredQuantity } from '../quantity/index.ts';
import { titleWithUnit } from './scale.ts';

/** What an axis measures, as readers know it: `Engine speed`. */
export const axisName = (quantity: string): string => measuredQuantity(quantity)?.entry.label ?? quantity;

/** `Engine speed, rpm` */
export const axisTitle = ({ quantity, unit }: { readonly quantity: string; readonly unit: string }): string =>
  titleWithUnit(axisName(quantity), unit);
