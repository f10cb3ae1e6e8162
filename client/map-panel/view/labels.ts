/** Places for words in a chart, so that none lies over another. */
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

export class Labels {
  readonly #taken: Box[] = [];

  constructor(readonly area: Box) {}

  /** Takes the first of some places that is free and inside the chart. */
  take(places: readonly Box[]): Box | undefined {
    const free = places.find(
      (place) => holds(this.area, place) && this.#taken.every((other) => !overlap(place, other)),
    );
    if (free) this.#taken.push(free);
    return free;
  }

  /** Keeps a place from words. */
  block(place: Box): void {
    this.#taken.push(place);
  }
}

/** About as wide as a text of this many characters is drawn. */
export const widthOfText = (text: string, size = 11): number => text.length * size * 0.58;

function holds(area: Box, { x, y, width, height }: Box): boolean {
  return x >= area.x && y >= area.y && x + width <= area.x + area.width && y + height <= area.y + area.height;
}

function overlap(a: Box, b: Box): boolean {
  return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
}
