/** A colour of the editor's theme, as a canvas takes it. */
export const colour = (name: string): string =>
  getComputedStyle(document.documentElement).getPropertyValue(name).trim() || '#888888';

/** The same colour, partly transparent. */
export const withAlpha = (text: string, alpha: number): string =>
  /^#[0-9a-f]{6}/i.test(text)
    ? `${text.slice(0, 7)}${Math.round(alpha * 255)
        .toString(16)
        .padStart(2, '0')}`
    : `color-mix(in srgb, ${text} ${Math.round(alpha * 100)}%, transparent)`;
