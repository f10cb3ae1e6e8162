import { sensorsOfFirst } from '../configuration/known-quantities.ts';
import { nodeOf } from '../configuration/values.ts';
import { keyNode } from '../source/source-file.ts';
import { missingSensor } from './causes.ts';
import { type Check, engineCheck } from './check.ts';

export const crankSensorMissing: Check = engineCheck({
  id: 'crank-sensor-missing',
  severity: 'error',
  title: 'Crank sensor missing',
  onStandby: true,
  page: {
    catches:
      'An engine with sensors but without a toothed wheel, whose controller times injection or spark. A cam sensor with one edge per cycle does not replace it.',
    why: 'The controller times every injection and spark by the teeth of the crank wheel. Without them the engine does not start.',
    example:
      'ignition: { ... }\nsensors:\n  cam: { measures: cam_position, kind: phase, pin: B2 }   # and no crank sensor',
    remedy: 'Add the sensor, of the kind `toothed-wheel`, that measures `crank_position`.',
    basis:
      'The firing angle must be known to about a degree. That a toothed wheel gives it is common practice, no source.',
  },
  *find({ installation: { configuration } }) {
    const { sensors, fuel, ignition, standby } = configuration;
    if (!sensors || !(fuel?.injectors || ignition)) return;
    const givesAngle = Object.values(sensorsOfFirst(sensors, standby)).some(
      ({ kind, measures }) =>
        kind?.text === 'toothed-wheel' ||
        measures?.text === 'crank_position' ||
        measures?.text === 'engine_speed',
    );
    if (givesAngle) return;
    yield {
      at: keyNode(nodeOf(sensors)),
      message: 'The engine has no crank sensor, so the controller cannot time injection and spark.',
      cause: missingSensor('engine_speed'),
    };
  },
});
