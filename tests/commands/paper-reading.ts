// Reads the installer's paper as its reader does: nothing but the page.

/** A wire of the list. */
export interface ReadWire {
  readonly name: string;
  readonly ends: readonly string[];
  readonly via: readonly string[];
  readonly colour: string;
}

const section = (page: string, title: string): string =>
  new RegExp(`<h2>${title}</h2>([\\s\\S]*?)(?:<h2>|</main>)`).exec(page)![1]!;

const textOf = (cell: string): string => cell.replace(/<[^>]*>/g, '').trim();
const listOf = (text: string): string[] => (text === '' ? [] : text.split(', '));

/** The lines of the wire list by circuit. */
export function wiresOn(page: string): ReadWire[] {
  const body = /<tbody>([\s\S]*?)<\/tbody>/.exec(section(page, 'Wire list by circuit'))![1]!;
  return Array.from(body.matchAll(/<tr>([\s\S]*?)<\/tr>/g), ([, row]) => {
    const cells = Array.from(row!.matchAll(/<t[hd][^>]*>([\s\S]*?)<\/t[hd]>/g), ([, cell]) => cell!);
    const [name, from, , via, , colour] = cells.map(textOf);
    const to = Array.from(cells[2]!.matchAll(/<div>([\s\S]*?)<\/div>/g), ([, end]) => textOf(end!));
    return { name: name!, ends: [from!, ...to], via: listOf(via!), colour: colour! };
  });
}

/** A position of a connector; without a name if no circuit is there. */
export interface ReadPosition {
  /** As circuits name it. */
  readonly place: string;
  readonly name: string;
  /** The other ends, or all of them where the circuit passes. */
  readonly ends: readonly string[];
  readonly colour: string;
}

/** The positions of all connector faces. */
export function facesOn(page: string): ReadPosition[] {
  const faces = section(page, 'Wire list by connector').split('<h3>').slice(1);
  return faces.flatMap((face) => {
    const title = textOf(face.slice(0, face.indexOf('</h3>')));
    const [, ofController, name] = /^(Controller connector|Connector) (.*)$/.exec(title)!;
    const cells = face.split(/<div(?: class="unused")?><strong>/).slice(1);
    return cells.map((cell): ReadPosition => {
      const position = textOf(cell.slice(0, cell.indexOf('</strong>')));
      const place = ofController === 'Connector' ? `${name}.${position}` : `controller.${position}`;
      const far = /<div class="remark">([\s\S]*?)<\/div>/.exec(cell);
      const rest = far ? textOf(cell.slice(far.index + far[0].length).replace(/<\/div>[\s\S]*/, '')) : '';
      const ends = far
        ? textOf(far[1]!)
            .replace(/^to /, '')
            .split(/ to |, /)
        : [];
      const circuit = far ? textOf(/<div>([\s\S]*?)<\/div>/.exec(cell)![1]!) : '';
      return { place, name: circuit, ends, colour: rest.replace(/(?:, )?\d+ AWG$/, '') };
    });
  });
}

interface Frame {
  readonly kind: string;
  readonly left: number;
  readonly right: number;
  readonly top: number;
  readonly bottom: number;
}

/** The ends and positions that the line of each circuit reaches in the drawings, as circuits name them. */
export function drawnCircuits(page: string): Map<string, string[]> {
  const drawings = Array.from(page.matchAll(/<svg class="harness"[\s\S]*?<\/svg>/g), ([svg]) => svg);
  return new Map(drawings.flatMap((svg) => [...circuitsOf(svg)]));
}

function circuitsOf(svg: string): Map<string, string[]> {
  const number = (text: string, name: string) => Number(new RegExp(` ${name}="([^"]*)"`).exec(text)![1]);
  const frames = Array.from(svg.matchAll(/<rect class="frame (\w+)"[^>]*>/g), ([text, kind]): Frame => {
    const [left, top] = [number(text, 'x'), number(text, 'y')];
    const [right, bottom] = [left + number(text, 'width'), top + number(text, 'height')];
    return { kind: kind!, left, right, top, bottom };
  });
  const texts = Array.from(
    svg.matchAll(/<text class="(\w+)"[^>]*>([^<]*)<\/text>/g),
    ([text, kind, words]) => {
      return { kind, words: words!, x: number(text, 'x'), y: number(text, 'y') };
    },
  );
  const endAt = (frame: Frame, y: number): string => {
    const inside = texts.filter(
      ({ x, y: at }) => x > frame.left && x < frame.right && at > frame.top && at < frame.bottom,
    );
    const title = inside.find(({ kind }) => kind === 'title')!.words;
    const label = inside.find((one) => one.kind === 'label' && Math.abs(one.y - y) < 7)?.words ?? '';
    switch (frame.kind) {
      case 'aircraft':
        return label;
      case 'controller':
        return `${title.split(' ')[0]!.toLowerCase()}.${label}`;
      case 'splice':
        return `splices.${title}`;
      default:
        return `${title}.${label}`;
    }
  };
  return new Map(
    Array.from(
      svg.matchAll(/data-circuit="([^"]*)"[\s\S]*?<path class="wire" d="([^"]*)"/g),
      ([, name, d]) => {
        const reached = Array.from(d!.matchAll(/M(\S+) (\S+)L(\S+) (\S+?)(?=M|$)/g), (numbers) => {
          const [x1, y1, x2, y2] = numbers.slice(1).map(Number);
          if (y1 !== y2) return [];
          const touched = frames.filter(
            ({ left, right, top, bottom }) =>
              [x1, x2].some((x) => x === left || x === right) && y1! > top && y1! < bottom,
          );
          return touched.map((frame) => endAt(frame, y1!));
        });
        return [name!, [...new Set(reached.flat())]];
      },
    ),
  );
}
