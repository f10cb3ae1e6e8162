import { childShape, type Shape } from '../../../shared/configuration/shape.ts';
import { nodesOf, type TableValue, type Value } from '../../../shared/configuration/values.ts';
import { type Content, type Html, html, prose } from '../../html.ts';

/** A value as written, with the label and description of its key. */
interface Row {
  readonly label: string;
  readonly value: Content;
  readonly meaning: Content;
}

/** How a table is shown among single values: as a link to its drawing. */
export type ShowTable = (table: TableValue) => Content;

/**
 * A section as written, with its subsections: each key with its value and description.
 */
export function writtenSection(section: object, shape: Shape | undefined, showTable: ShowTable): Html {
  return table(rowsOf(section, shape, showTable, []));
}

/** The same without descriptions, for one of several similar sections. */
export function writtenValues(section: object, shape: Shape | undefined, showTable: ShowTable): Html {
  const rows = rowsOf(section, shape, showTable, []);
  return table(rows.map((row) => ({ ...row, meaning: undefined })));
}

function table(rows: readonly Row[]): Html {
  return html`<table class="written">${rows.map(
    ({ label, value, meaning }) =>
      html`<tr><th scope="row">${label}</th><td>${value}</td><td class="meaning">${meaning}</td></tr>\n`,
  )}</table>`;
}

function rowsOf(
  section: object,
  shape: Shape | undefined,
  showTable: ShowTable,
  within: readonly string[],
): Row[] {
  return Object.entries(section).flatMap(([key, bound]) => {
    const own = childShape(shape, key);
    const name = shape?.properties.has(key) ? (own?.label ?? key.replaceAll('_', ' ')) : key;
    const names = [...within, name];
    if (isValue(bound)) {
      return [
        {
          label: names.join(': '),
          value: valueContent(bound, showTable),
          meaning: own?.description && prose(own.description),
        },
      ];
    }
    return typeof bound === 'object' && bound !== null ? rowsOf(bound, own, showTable, names) : [];
  });
}

function isValue(bound: unknown): bound is Value {
  return typeof bound === 'object' && bound !== null && nodesOf(bound).length === 0 && 'type' in bound;
}

function valueContent(value: Value, showTable: ShowTable): Content {
  switch (value.type) {
    case 'table':
      return showTable(value);
    case 'list':
      return (value.items as readonly Value[]).map((item) => writtenText(item)).join(', ');
    case 'relation':
      return value.points.map(({ key, value: to }) => html`<div>${key.text} → ${to.text}</div>`);
    default:
      return writtenText(value);
  }
}

/** A scalar as written; empty if it is missing. */
export function writtenText(value: object | undefined): string {
  const { node } = (value ?? {}) as { node?: { text?: string } };
  return node?.text ?? '';
}
