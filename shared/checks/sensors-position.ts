import type { Sensor } from '../../generated/configuration.ts';
import { nearestFreePin } from '../configuration/pins.ts';
import { nodeOf } from '../configuration/values.ts';
import { sensorsOf } from '../derived/sensor-input.ts';
import { insertEntry } from '../source/edit.ts';
import { missingSensor } from './causes.ts';
import { type Check, engineCheck, type Fix } from './check.ts';
import { quote } from './form-words.ts';

/** Whether a cam sensor shows which of the two revolutions of a cycle the crank is in. */
const hasPhase = (sensors: Readonly<Record<string, Sensor>>): boolean =>
  Object.values(sensors).some(
    ({ kind, measures }) => kind?.text === 'phase' || measures?.text === 'cam_position',
  );

export const sequentialNeedsPhase: Check = engineCheck({
  id: 'sequential-needs-phase',
  severity: 'error',
  title: 'Cam sensor missing',
  onStandby: true,
  page: {
    catches:
      'A four-stroke engine with sequential injection and no cam sensor. One coil per cylinder without a cam sensor is a warning.',
    why: 'The crank passes top dead centre twice per cycle, and only a cam sensor shows which of the two it is. Without one the controller may inject onto a closed valve or fire during valve overlap.',
    example:
      'fuel: { injectors: { timing: sequential } }\nsensors:\n  crank: { measures: crank_position, kind: toothed-wheel, teeth: 60, missing: 2 }',
    remedy: 'Add a sensor of kind `phase`, or inject in pairs and fire the cylinders in pairs.',
    basis: 'A four-stroke cycle takes two revolutions of the crank.',
  },
  *find({ installation: { configuration, engines } }) {
    const { sensors } = configuration;
    if (!sensors || hasPhase(sensors)) return;
    for (const { configuration: engine } of engines) {
      if (engine.engine?.cycle?.text === 'two-stroke') continue;
      const timing = engine.fuel?.injectors?.timing;
      if (timing?.text === 'sequential') {
        yield {
          at: timing.node,
          message: 'Sequential injection needs a cam sensor, but the engine has none.',
          cause: missingSensor('cam_position'),
          fixes: [
            {
              title: 'Change to `paired`',
              safety: 'choice',
              edits: [{ span: timing.node, text: 'paired' }],
            },
          ],
        };
      }
      const arrangement = engine.ignition?.arrangement;
      if (arrangement?.text === 'per-cylinder' && (engine.engine?.cylinders?.canonical ?? 0) > 1) {
        yield {
          at: arrangement.node,
          severity: 'warning',
          message:
            'One coil per cylinder needs a cam sensor, but the engine has none, so the coils would also fire during valve overlap.',
          cause: missingSensor('cam_position'),
        };
      }
    }
  },
});

/** Tooth counts of wheels in common use. Common practice, no source. */
const USUAL_TEETH: ReadonlySet<number> = new Set([
  12, 24, 30, 32, 36, 40, 44, 48, 60, 72, 90, 120, 135, 180, 360,
]);
/**
 * With fewer edges per revolution the controller can only guess the crank position between them. Common practice, no source.
 */
const FEWEST_EDGES = 4;

export const wheelTeethImplausible: Check = engineCheck({
  id: 'wheel-teeth-implausible',
  severity: 'warning',
  title: 'Implausible tooth count',
  page: {
    catches:
      'A toothed wheel whose `teeth` does not seem to include the missing teeth, that has too few edges, that has a gap of a quarter of a revolution or more, or that has no gap while no cam sensor marks the start of the revolution.',
    why: 'The controller divides a revolution by the number of teeth. With a wrong count the controller never synchronises, or every spark is mistimed, by more the farther it is from the gap.',
    example:
      'crank: { measures: crank_position, kind: toothed-wheel, teeth: 58, missing: 2 }   # 60 positions, 2 of them missing',
    remedy: 'Count the positions around the wheel as if no tooth were missing.',
    basis: 'Geometry. Which wheels are usual is common practice, no source.',
  },
  *find({ installation: { configuration } }) {
    const sensors = configuration.sensors ?? {};
    for (const [name, { teeth, missing }] of sensorsOf(configuration, 'toothed-wheel')) {
      if (!teeth) continue;
      const gap = missing?.canonical ?? 0;
      const counted = teeth.canonical;
      const whole = counted + gap;
      const related = missing ? [{ at: missing.node, message: 'The missing teeth.' }] : [];
      if (counted - gap < FEWEST_EDGES) {
        yield {
          at: teeth.node,
          message: `${counted} teeth with ${gap} missing leave ${counted - gap} edges per revolution; the minimum is ${FEWEST_EDGES}.`,
          related,
        };
      } else if (gap >= counted / 4) {
        yield {
          at: missing!.node,
          message: `A gap of ${gap} in ${counted} teeth leaves at least a quarter of a revolution without an edge.`,
          related: [{ at: teeth.node, message: 'The teeth.' }],
        };
      } else if (gap > 0 && !USUAL_TEETH.has(counted) && USUAL_TEETH.has(whole)) {
        yield {
          at: teeth.node,
          message: `${counted} seems to be the number of teeth present; with the ${gap} missing ones the wheel has ${whole}.`,
          related,
          fixes: [
            {
              title: `Change to ${whole}, which includes the missing teeth`,
              safety: 'choice',
              edits: [{ span: teeth.node, text: String(whole) }],
            },
          ],
        };
      } else if (gap === 0 && !hasPhase(sensors)) {
        yield {
          at: teeth.node,
          message: `${quote(name)} has no gap and the engine has no cam sensor, so nothing marks the start of the revolution.`,
        };
      }
    }
  },
});

export const widebandNeedsHeater: Check = engineCheck({
  id: 'wideband-needs-heater',
  severity: 'error',
  title: 'Wideband sensor without heater pin',
  page: {
    catches: 'A wideband lambda sensor without `heater_pin`.',
    why: 'The cell works only at several hundred degrees Celsius. A cold cell gives meaningless readings, and water in the exhaust cracks it.',
    example: 'lambda: { measures: lambda, kind: wideband, pin: B10, range: 0.65..1.30 }',
    remedy:
      'Name the pin that drives the heater. If a separate amplifier heats the cell and outputs a voltage, set the kind to `linear`.',
    basis: 'How a wideband cell works: common practice, no source.',
  },
  *find({ installation: { configuration, controller } }) {
    for (const [name, sensor] of sensorsOf(configuration, 'wideband')) {
      if (sensor.heater_pin) continue;
      const mapping = nodeOf(sensor);
      const pin = nearestFreePin(controller, configuration, ['lambda-heater'], sensor.pin?.text);
      const fixes: Fix[] =
        pin !== undefined && mapping.type === 'mapping'
          ? [
              {
                title: `Add \`heater_pin: ${pin}\` (nearest free lambda heater)`,
                safety: 'choice',
                edits: [
                  insertEntry(
                    mapping,
                    'heater_pin',
                    { line: pin },
                    mapping.entry('pin') ?? mapping.entries.at(-1),
                  ),
                ],
              },
            ]
          : [];
      yield {
        at: sensor.kind!.node,
        message: `${quote(name)} has no \`heater_pin\`, and a cold sensor gives no usable reading.`,
        fixes,
      };
    }
  },
});
