import type { ControllerConfiguration } from '../../generated/configuration.ts';
import type { TableValue } from '../configuration/values.ts';
import type { Node } from '../source/tree.ts';
import { keptParts, partsWritten } from '../storage/kept-parts.ts';
import type { WrittenPart } from '../storage/written.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { nameOf, quote } from './form-words.ts';

import { tablesOfEngine } from './tables.ts';
import { formatStated } from './words.ts';

/** The maximum size of a table, and where it is defined. */
interface Room {
  readonly columns: number;
  readonly rows: number;
  /** To follow "the maximum is 16". */
  readonly whose: string;
  readonly columnsNode: Node;
  readonly rowsNode: Node;
}

/** The maximum size of any such table in the controller; undefined if the file does not state one. */
function generalRoom({ isMap }: TableValue, { limits }: ControllerConfiguration): Room | undefined {
  const whose = 'for this controller';
  if (!isMap) {
    const most = limits?.curve_size;
    return most && { columns: most.canonical, rows: 1, whose, columnsNode: most.node, rowsNode: most.node };
  }
  const node = limits?.map_size?.node;
  const [, columns, rows] = /^(\d+) ?[x×] ?(\d+)$/.exec(limits?.map_size?.text ?? '') ?? [];
  if (!node || !columns || !rows) return undefined;
  return { columns: Number(columns), rows: Number(rows), whose, columnsNode: node, rowsNode: node };
}

export const mapLargerThanStorage: Check = engineCheck({
  id: 'map-larger-than-storage',
  severity: 'error',
  title: 'Table too large for controller',
  onStandby: true,
  page: {
    catches:
      'A curve, map or list with more columns or rows than its field stores, or than the controller’s `curve_size` or `map_size` allows. Tables of map sets are included.',
    why: 'Rows and columns that do not fit are lost, usually those of the highest speeds and loads, where a wrong mixture does most damage.',
    example: 'limits: { map_size: 16 x 16, curve_size: 9 }   # and a map of 18 columns in the engine file',
    remedy: 'Remove breakpoints where the table is nearly linear.',
    basis: 'The sizes in the controller file.',
  },
  *find({ installation }) {
    const { engines, controller } = installation;
    if (!controller) return;
    /** Places with a finding: a table that does not fit its field is not compared with the general limits. */
    const told = new Set<Node>();
    for (const { written, part, field, value } of keptParts(installation)) {
      if (part.name !== 'values' || !field.at) continue;
      const [columnsNode, rowsNode] = [
        field.columns?.node ?? field.at.node,
        field.rows?.node ?? field.at.node,
      ];
      const room = { columns: part.columns, rows: part.rows, whose: 'for its field', columnsNode, rowsNode };
      yield* tooLarge(nameOf(value.node), written, room, told);
    }
    for (const table of new Set(engines.flatMap(tablesOfEngine))) {
      const room = generalRoom(table, controller);
      const written = partsWritten(table).find(({ name }) => name === 'values');
      if (room && written) yield* tooLarge(nameOf(table.node), written, room, told);
    }
  },
});

function* tooLarge(name: string, written: WrittenPart, room: Room, told: Set<Node>): Generator<Found> {
  for (const way of ['columns', 'rows'] as const) {
    const node = written[`${way}Node`];
    if (written[way] <= room[way] || told.has(node)) continue;
    told.add(node);
    yield {
      at: node,
      message: `${name} has ${written[way]} ${way}; the maximum ${room.whose} is ${room[way]}.`,
      related: [{ at: room[`${way}Node`], message: 'Size in the controller file.' }],
    };
  }
}

export const speedBeyondController: Check = engineCheck({
  id: 'speed-beyond-controller',
  severity: 'error',
  title: 'Engine speed beyond controller limit',
  onStandby: true,
  page: {
    catches: 'An `engine.maximum_speed` above the `limits.maximum_speed` of the controller, in any map set.',
    why: 'Above its maximum speed, the controller injects and fires late, twice or not at all, and its own speed limit may not trip.',
    example:
      'engine:\n  maximum_speed: 9500 rpm   # and `limits: { maximum_speed: 9000 rpm }` in the controller file',
    remedy: 'Lower the maximum speed of the engine, or use a faster controller.',
    basis: 'The limit in the controller file.',
  },
  *find({ installation: { engines, controller } }) {
    const limit = controller?.limits?.maximum_speed;
    if (!limit) return;
    for (const speed of new Set(engines.map(({ configuration }) => configuration.engine?.maximum_speed))) {
      if (!speed || speed.canonical <= limit.canonical) continue;
      const name = controller.name ? quote(controller.name.text) : 'the controller';
      yield {
        at: speed.node,
        message: `The maximum engine speed of ${formatStated(speed.canonical, 'rpm')} is above ${formatStated(limit.canonical, 'rpm')}, the limit of ${name}.`,
        related: [{ at: limit.node, message: 'Limit of the controller.' }],
      };
    }
  },
});
