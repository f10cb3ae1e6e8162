import { html } from '../../map-panel/view/element.ts';

/** A name or key path with line breaks allowed after its dots and underscores; other text is unchanged. */
export const breakable = (text: string): (Node | string)[] =>
  /^\S+$/.test(text)
    ? text.split(/(?<=[._])(?=\D)/).flatMap((part, i) => (i === 0 ? [part] : [html('wbr'), part]))
    : [text];
