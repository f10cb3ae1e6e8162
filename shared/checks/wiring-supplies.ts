import { pinOfEnd } from '../configuration/terminals.ts';
import { busStubLength, busTermination, suppliedSensors, supplyCurrentOfPin } from '../derived/supplies.ts';
import { valueText } from '../derived/value.ts';
import { type Check, engineCheck } from './check.ts';
import { quote } from './form-words.ts';
import { passes } from './threshold.ts';
import { formatStated, statedBeside } from './words.ts';

export const sensorSupplyOverload: Check = engineCheck({
  id: 'sensor-supply-overload',
  severity: 'error',
  title: 'Sensor supply overloaded',
  page: {
    catches: 'Sensors on one supply pin of the controller that together take more than its maximum current.',
    why: 'The supply falls, and with it the reading of every ratiometric sensor on it.',
    example:
      'pins:\n  A20: { role: sensor-supply, voltage: 5 V, maximum_current: 50 mA }   # three sensors of 20 mA each are on it',
    remedy: 'Move sensors to another supply pin.',
    basis: 'The rating of the pin.',
  },
  *find({ derivation, installation: { controller } }) {
    for (const { pin, value } of supplyCurrentOfPin(derivation)) {
      const most = controller?.pins?.[pin]?.maximum_current;
      if (!most || !passes(value.canonical, most.canonical)) continue;
      yield {
        at: value.node,
        message: `The sensors on pin ${quote(pin)} take ${valueText(value)}; the limit of the pin is ${statedBeside(most, value.show)}.`,
        related: [{ at: most.node, message: 'The limit of the pin.' }],
      };
    }
  },
});

export const sensorSupplyMismatch: Check = engineCheck({
  id: 'sensor-supply-mismatch',
  severity: 'error',
  title: 'Wrong supply voltage for sensor',
  page: {
    catches: 'A sensor on a supply pin whose voltage differs from the `supply` that the sensor states.',
    why: 'A ratiometric sensor for 5 V reads wrong at 8 V, and may be destroyed by it.',
    example:
      'sensors:\n  manifold_pressure: { kind: ratiometric, supply: 5 V, ... }   # its supply comes from a pin of 8 V',
    remedy: 'Use a pin of the right voltage.',
    basis: 'The two files must agree.',
  },
  settings: {
    deviation: {
      kind: 'ratio',
      value: '2 %',
      meaning: 'How far the two voltages may differ, as a share of that of the pin.',
    },
  },
  *find({ installation: { configuration, controller } }, { deviation }) {
    for (const { name, sensor, terminal, pin } of suppliedSensors(configuration)) {
      const own = pinOfEnd(pin.text)!;
      const [{ supply }, voltage] = [sensor, controller?.pins?.[own]?.voltage];
      if (!supply || !voltage) continue;
      const difference = Math.abs(supply.canonical - voltage.canonical);
      if (!passes(difference, deviation * voltage.canonical)) continue;
      yield {
        at: supply.node,
        message: `${quote(name)} needs ${supply.node.text}, but pin ${quote(own)} supplies ${voltage.node.text}.`,
        related: [
          { at: terminal.node, message: 'The circuit of its supply.' },
          { at: voltage.node, message: 'The voltage of the pin.' },
        ],
      };
    }
  },
});

export const busTerminationWrong: Check = engineCheck({
  id: 'bus-termination',
  severity: 'warning',
  title: 'Bus not terminated correctly',
  page: {
    catches: 'Terminating resistors of the bus that together are far from 60 ohm.',
    why: 'Without a resistor at each end, the signal is reflected and messages are lost; with a third one, the transmitters cannot reach the level of a dominant bit.',
    example: 'bus:\n  termination: { controller: 120 ohm }   # and none at the far end',
    remedy: 'Fit 120 ohm at each end of the bus and nowhere else.',
    basis: 'ISO 11898-2: 100 to 130 ohm at each end (from memory).',
  },
  settings: {
    lowest: { kind: 'resistance', value: '50 ohm', meaning: 'Lowest resistance of the terminated bus.' },
    highest: { kind: 'resistance', value: '65 ohm', meaning: 'Highest resistance of the terminated bus.' },
  },
  *find({ derivation }, { lowest, highest }) {
    const value = derivation.one(busTermination);
    if (!value || !(passes(value.canonical, highest) || passes(lowest, value.canonical))) return;
    const range = `${formatStated(lowest, 'ohm')} to ${formatStated(highest, 'ohm')}`;
    yield {
      at: value.node,
      message: `The terminating resistors together are ${valueText(value)}; ${range} is usual.`,
    };
  },
});

/** The bit rate for which the longest stub is stated. */
const STUB_BIT_RATE = 1e6;

export const busStubLong: Check = engineCheck({
  id: 'bus-stub-long',
  severity: 'warning',
  title: 'Bus stub too long',
  page: {
    catches:
      'A conductor that branches off the bus at a splice and is longer than the threshold. The threshold is for 1 Mbit/s and counts in inverse proportion to the bit rate: twice the length at 500 kbit/s. The longest two conductors at each splice count as the line.',
    why: 'A stub is a line without a terminating resistor: it reflects the signal, and bits are read wrongly.',
    example:
      'bus: { bitrate: 1 Mbit/s, pins: [P20, P21] }\nharness:\n  circuits:\n    bus_high: { from: controller.P20, to: splices.bus, length: 2 m }\n    bus_on: { from: splices.bus, to: devices.display.can_high, length: 1 m }\n    bus_branch: { from: splices.bus, to: devices.recorder.can_high, length: 0.8 m }',
    remedy: 'Lead the line from device to device, with short branches or none.',
    basis:
      'ISO 11898-2: 0.3 m at 1 Mbit/s (common practice, from memory); the proportion is common practice, no source.',
  },
  settings: {
    longest: { kind: 'length', value: '0.3 m', meaning: 'Longest stub at 1 Mbit/s.' },
  },
  *find({ derivation, installation: { configuration } }, { longest }) {
    const rate = configuration.bus?.bitrate;
    if (!rate || !(rate.canonical > 0)) return;
    const limit = (longest * STUB_BIT_RATE) / rate.canonical;
    for (const value of derivation.get(busStubLength)) {
      if (!passes(value.canonical, limit)) continue;
      yield {
        at: value.node,
        message: `At least one stub of the bus is ${valueText(value)} long; at ${rate.node.text} the limit is ${formatStated(limit, 'm')}.`,
        related: [{ at: rate.node, message: 'The bit rate.' }],
      };
    }
  },
});
