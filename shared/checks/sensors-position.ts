import type { Sensor } from '../../generated/configuration.ts';
import { nearestFreePin } from '../configuration/pins.ts';
import { nodeOf } from '../configuration/values.ts';
import { sensorsOf } from '../derived/sensor-input.ts';
import { insertEntry } from '../source/edit.ts';
import { type Check, engineCheck, type Fix } from './check.ts';

/** Whether a cam sensor tells one turn of the crank from the other. */
const hasPhase = (sensors: Readonly<Record<string, Sensor>>): boolean =>
  Object.values(sensors).some(
    ({ kind, measures }) => kind?.text === 'phase' || measures?.text === 'cam_position',
  );

export const sequentialNeedsPhase: Check = engineCheck({
  id: 'sequential-needs-phase',
  severity: 'error',
  title: 'Sequential without a cam sensor',
  page: {
    catches:
      'Sequential injection on a four-stroke engine without a sensor of the cam’s phase; a warning for a coil on each cylinder.',
    why: 'The crank passes top dead centre twice a cycle and does not know which is which. Without the cam the controller may inject into a closed valve, or spark in the overlap.',
    example:
      'fuel: { injectors: { timing: sequential } }\nsensors:\n  crank: { measures: crank_position, kind: toothed-wheel, teeth: 60, missing: 2 }',
    remedy: 'Add a `phase` sensor, or inject in pairs and fire pairs of cylinders together.',
    basis: 'A four-stroke cycle is two turns.',
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
          message: 'Sequential injection needs the phase of the cam, and no sensor gives it.',
          fixes: [
            {
              title: 'Inject in pairs: paired',
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
            'A coil for each cylinder needs the phase of the cam, or it fires in the overlap too; no sensor gives it.',
        };
      }
    }
  },
});

/** Tooth counts of wheels that are made in numbers. Common practice, no source. */
const USUAL_TEETH: ReadonlySet<number> = new Set([
  12, 24, 30, 32, 36, 40, 44, 48, 60, 72, 90, 120, 135, 180, 360,
]);
/** Fewer edges a turn leave the controller guessing where the crank is between them. Common practice, no source. */
const FEWEST_EDGES = 4;

export const wheelTeethImplausible: Check = engineCheck({
  id: 'wheel-teeth-implausible',
  severity: 'warning',
  title: 'A toothed wheel that is hardly so',
  page: {
    catches:
      'A wheel whose teeth seem to be counted without the missing ones, one with hardly any teeth, with a gap of a quarter turn or more, or with no gap and no cam sensor to tell where the turn begins.',
    why: 'The controller divides a turn by the number of teeth. Counted wrongly, every spark is off, by more the further it is from the gap; or the engine never gets in step.',
    example:
      'crank: { measures: crank_position, kind: toothed-wheel, teeth: 58, missing: 2 }   # 60 positions, 2 of them missing',
    remedy: 'Count the positions around the wheel as if none were missing.',
    basis: 'Geometry; which wheels are usual is common practice, no source.',
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
          message: `${counted} teeth with ${gap} missing leave ${counted - gap} edges a turn; ${FEWEST_EDGES} are the least.`,
          related,
        };
      } else if (gap >= counted / 4) {
        yield {
          at: missing!.node,
          message: `A gap of ${gap} in ${counted} teeth is a quarter of the turn or more, in which nothing is seen.`,
          related: [{ at: teeth.node, message: 'The teeth.' }],
        };
      } else if (gap > 0 && !USUAL_TEETH.has(counted) && USUAL_TEETH.has(whole)) {
        yield {
          at: teeth.node,
          message: `${counted} teeth seem to be those that are there; with the ${gap} missing ones the wheel has ${whole}.`,
          related,
          fixes: [
            {
              title: `Count the missing teeth too: ${whole}`,
              safety: 'choice',
              edits: [{ span: teeth.node, text: String(whole) }],
            },
          ],
        };
      } else if (gap === 0 && !hasPhase(sensors)) {
        yield {
          at: teeth.node,
          message: `${name} has no gap and there is no cam sensor: nothing tells where the turn begins.`,
        };
      }
    }
  },
});

export const widebandNeedsHeater: Check = engineCheck({
  id: 'wideband-needs-heater',
  severity: 'error',
  title: 'A wideband sensor without its heater',
  page: {
    catches: 'A wideband lambda sensor without a `heater_pin`.',
    why: 'The cell works only at its own temperature, several hundred degrees. Cold, it reads nonsense, and exhaust water cracks it.',
    example: 'lambda: { measures: lambda, kind: wideband, pin: B10, range: 0.65..1.30 }',
    remedy:
      'Name the pin that drives the heater. Where a separate amplifier heats it and gives a voltage, the sensor is `linear`.',
    basis: 'How such a cell works: common practice, no source.',
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
                title: `Insert \`heater_pin: ${pin}\`, the nearest free lambda heater`,
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
        message: `${name} has no \`heater_pin\`; cold, it reads nothing.`,
        fixes,
      };
    }
  },
});
