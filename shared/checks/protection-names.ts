import type { Sensor } from '../../generated/configuration.ts';
import { ofEachReading } from '../configuration/readings.ts';
import type { TextValue } from '../configuration/values.ts';
import { measuredQuantity, nearestWord } from '../quantity/index.ts';
import { pathOf, type ScalarNode } from '../source/tree.ts';
import { type Check, engineCheck, type Fix, type Found } from './check.ts';
import { quote, rewriting } from './form-words.ts';

/** The fix that writes the nearest of the names that there are. */
export function nearestName(node: ScalarNode, names: Iterable<string>): Fix[] {
  const nearest = nearestWord(node.text, names);
  return nearest === undefined ? [] : [rewriting(node, [0, node.text.length], nearest, 'choice')];
}

export const nameUnknown: Check = engineCheck({
  id: 'name-unknown',
  severity: 'error',
  title: 'A name that nothing bears',
  page: {
    catches:
      'A loop that names a sensor that is not there, and a quantity of a cylinder that the engine does not have.',
    why: 'A loop without its sensor does nothing, and a limit on the fifth cylinder of four never trips: both look like protection in the file.',
    example: 'sensors:\n  lambda_1: { ... }\nclosed_loop:\n  lambda: { sensor: lambda, authority: 12 % }',
    remedy: 'Write the name as it stands under `sensors`, or the number of a cylinder.',
    basis: 'The meaning of the keys.',
  },
  *find({ read, path, installation: { configuration } }) {
    // A fuel-pressure loop without its sensor breaks a promise of the rail, and has its own check.
    const ownCheck = configuration.closed_loop?.fuel_pressure?.sensor;
    const cylinders = configuration.engine?.cylinders?.canonical;
    for (const { value, index } of namesEach(read, undefined)) {
      if (value.node.chunk.file !== path) continue;
      if (index === undefined && value !== ownCheck)
        yield* unknownSensor(value.node, configuration.sensors ?? {});
      if (index === undefined || cylinders === undefined || index <= cylinders) continue;
      // A sensor of such a cylinder is told of as every other part of it.
      if (pathOf(value.node)[0] === 'sensors') continue;
      yield {
        at: value.node,
        message: `${quote(value.text)} is of cylinder ${index}; the engine has ${cylinders}.`,
      };
    }
  },
});

interface NamedText {
  readonly value: TextValue;
  /** The number of the cylinder, where it is a quantity of one of several. */
  readonly index: number | undefined;
}

/** Every text that names a sensor, or the quantity of one of several cylinders. */
const namesEach = ofEachReading(['text'], ({ value, shape }): readonly NamedText[] => {
  if (shape.names === 'sensor') return [{ value, index: undefined }];
  const index = shape.names === 'quantity' ? measuredQuantity(value.text)?.index : undefined;
  return index === undefined ? [] : [{ value, index }];
});

function* unknownSensor(node: ScalarNode, sensors: Readonly<Record<string, Sensor>>): Generator<Found> {
  if (Object.hasOwn(sensors, node.text)) return;
  yield {
    at: node,
    message: `No sensor is called ${quote(node.text)}.`,
    fixes: nearestName(node, Object.keys(sensors)),
  };
}
