/** Helpers that create elements. Everything is set by attributes or text, so the page needs no inline styles or scripts. */
type Attributes = Readonly<Record<string, string | number | undefined>>;
type Child = Node | string;

export function html<Name extends keyof HTMLElementTagNameMap>(
  name: Name,
  attributes: Attributes = {},
  ...children: readonly Child[]
): HTMLElementTagNameMap[Name] {
  return filled(document.createElement(name), attributes, children);
}

export function svg<Name extends keyof SVGElementTagNameMap>(
  name: Name,
  attributes: Attributes = {},
  ...children: readonly Child[]
): SVGElementTagNameMap[Name] {
  return filled(document.createElementNS('http://www.w3.org/2000/svg', name), attributes, children);
}

function filled<Made extends Element>(made: Made, attributes: Attributes, children: readonly Child[]): Made {
  for (const [name, value] of Object.entries(attributes)) {
    if (value !== undefined) made.setAttribute(name, String(value));
  }
  made.append(...children);
  return made;
}
