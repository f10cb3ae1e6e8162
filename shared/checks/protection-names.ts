import type { EngineConfiguration } from '../../generated/configuration.ts';
import { eachReading } from '../configuration/readings.ts';
import type { TextValue } from '../configuration/values.ts';
import { counted } from '../counted.ts';
import { measuredQuantity, nearestWord } from '../quantity/index.ts';
import { pathOf, type ScalarNode } from '../source/tree.ts';
import { causeIfUnmeasured, unknownCylinder } from './causes.ts';
import { type Check, engineCheck, type Fix, type Found } from './check.ts';
import { quote, rewriting } from './form-words.ts';
import { quantityOfLoop } from './protection-words.ts';

/** The fix that writes the nearest known name. */
export function nearestName(node: ScalarNode, names: Iterable<string>): Fix[] {
  const nearest = nearestWord(node.text, names);
  return nearest === undefined ? [] : [rewriting(node, [0, node.text.length], nearest, 'choice')];
}

export const nameUnknown: Check = engineCheck({
  id: 'name-unknown',
  severity: 'error',
  title: 'Unknown name',
  page: {
    catches:
      'A loop that names a sensor that does not exist, or a quantity of a cylinder that the engine does not have.',
    why: 'A loop without a sensor does nothing, and a limit on cylinder 5 of a four-cylinder engine never trips. Both look like protection in the file.',
    example: 'sensors:\n  lambda_1: { ... }\nclosed_loop:\n  lambda: { sensor: lambda, authority: 12 % }',
    remedy: 'Write a name from `sensors`, or the number of a cylinder that exists.',
    basis: 'The meaning of the keys.',
  },
  *find({ read, path, installation: { configuration } }) {
    // `fuel-pressure-loop-without-sensor` reports the sensor of the fuel pressure loop.
    const ownCheck = configuration.closed_loop?.fuel_pressure?.sensor;
    const cylinders = configuration.engine?.cylinders?.canonical;
    for (const { value, index } of namesEach(read, undefined)) {
      if (value.node.chunk.file !== path) continue;
      if (index === undefined && value !== ownCheck) yield* unknownSensor(value.node, configuration);
      if (index === undefined || cylinders === undefined || index <= cylinders) continue;
      // `cylinder-unknown` reports the sensor of such a cylinder.
      if (pathOf(value.node)[0] === 'sensors') continue;
      yield {
        at: value.node,
        message: `${quote(value.text)} needs cylinder ${index}, but the engine has ${counted(cylinders, 'cylinder')}.`,
        cause: unknownCylinder(index),
      };
    }
  },
});

interface NamedText {
  readonly value: TextValue;
  /** The number of the cylinder, if the name is a quantity of one cylinder. */
  readonly index: number | undefined;
}

/** Every text that names a sensor, or a quantity of one cylinder. */
const namesEach = eachReading(['text'], ({ value, shape }): readonly NamedText[] => {
  if (shape.names === 'sensor') return [{ value, index: undefined }];
  const index = shape.names === 'quantity' ? measuredQuantity(value.text)?.index : undefined;
  return index === undefined ? [] : [{ value, index }];
});

function* unknownSensor(node: ScalarNode, configuration: EngineConfiguration): Generator<Found> {
  const { sensors = {} } = configuration;
  const [loop] = pathOf(node).slice(-2);
  const quantity = quantityOfLoop.find(([name]) => name === loop)?.[1];
  if (Object.hasOwn(sensors, node.text)) return;
  yield {
    at: node,
    message: `No sensor has the name ${quote(node.text)}.`,
    cause: quantity && causeIfUnmeasured(configuration, quantity),
    fixes: nearestName(node, Object.keys(sensors)),
  };
}
