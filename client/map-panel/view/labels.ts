/** A rectangle in a chart. */
export interface Box {
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Places for texts in a chart, so that none overlaps another. */
export class Labels {
  readonly #taken: Box[] = [];

  constructor(readonly area: Box) {}

  /** Takes the first of the given places that is free and inside the chart. */
  take(places: readonly Box[]): Box | undefined {
    const free = places.find(
      (place) => holds(this.area, place) && this.#taken.every((other) => !overlap(place, other)),
    );
    if (free) this.#taken.push(free);
    return free;
  }

  /** Reserves a place, so that no text is put there. */
  block(place: Box): void {
    this.#taken.push(place);
  }
}

/** The approximate width of a text. */
export const widthOfText = (text: string, size = 11): number => text.length * size * 0.58;

function holds(area: Box, { x, y, width, height }: Box): boolean {
  return x >= area.x && y >= area.y && x + width <= area.x + area.width && y + height <= area.y + area.height;
}

function overlap(a: Box, b: Box): boolean {
  return a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height;
}
