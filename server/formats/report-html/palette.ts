/**
 * The colours of a map's cells, from the lowest value to the highest. One hue that gets darker is readable with any
 * colour vision and in grey print; each cell also has its number.
 */
export const LEVELS = 12;

type Colour = readonly [red: number, green: number, blue: number];

interface Scale {
  readonly stops: readonly Colour[];
}

/** Higher is darker on paper and on a light screen, and lighter on a dark screen. */
const LIGHT: Scale = {
  stops: [
    [244, 247, 251],
    [132, 174, 214],
    [24, 72, 128],
  ],
};
const DARK: Scale = {
  stops: [
    [27, 36, 48],
    [52, 104, 156],
    [196, 222, 246],
  ],
};

export interface CellColours {
  readonly ground: string;
  readonly ink: string;
}

export const lightCells: readonly CellColours[] = cellsOf(LIGHT);
export const darkCells: readonly CellColours[] = cellsOf(DARK);

function cellsOf({ stops }: Scale): CellColours[] {
  return Array.from({ length: LEVELS }, (_, level) => {
    const ground = between(stops, level / (LEVELS - 1));
    const inks: readonly Colour[] = [
      [12, 18, 26],
      [255, 255, 255],
    ];
    const ink = inks.reduce((best, one) => (contrast(one, ground) > contrast(best, ground) ? one : best));
    return { ground: hex(ground), ink: hex(ink) };
  });
}

function between(stops: readonly Colour[], share: number): Colour {
  const at = share * (stops.length - 1);
  const index = Math.min(Math.floor(at), stops.length - 2);
  const [from, to] = [stops[index]!, stops[index + 1]!];
  return [0, 1, 2].map((i) => Math.round(from[i]! + (to[i]! - from[i]!) * (at - index))) as unknown as Colour;
}

/** The contrast of two colours, 1 to 21 (W3C, Web Content Accessibility Guidelines 2.1, "contrast ratio"). */
export function contrast(one: Colour, other: Colour): number {
  const [low, high] = [luminance(one), luminance(other)].sort((a, b) => a - b) as [number, number];
  return (high + 0.05) / (low + 0.05);
}

function luminance(colour: Colour): number {
  const [red, green, blue] = colour.map((channel) => {
    const share = channel / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  }) as unknown as Colour;
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

export function colourOf(text: string): Colour {
  return [1, 3, 5].map((at) => Number.parseInt(text.slice(at, at + 2), 16)) as unknown as Colour;
}

function hex(colour: Colour): string {
  return `#${colour.map((channel) => channel.toString(16).padStart(2, '0')).join('')}`;
}
