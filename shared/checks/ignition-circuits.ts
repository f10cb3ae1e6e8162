import { capital } from '../capital.ts';
import { nodeOf } from '../configuration/values.ts';
import { firedByOneCircuit } from '../derived/capacitive.ts';
import { addsUp, cycleAngle } from '../derived/firing-intervals.ts';
import { outputsThatDrive } from '../derived/loads.ts';
import { type Check, engineCheck, type Found } from './check.ts';
import { quote } from './form-words.ts';
import { formatNumber, formatQuantity, listed } from './words.ts';

export const sparkCircuitUnknown: Check = engineCheck({
  id: 'spark-circuit-unknown',
  severity: 'error',
  title: 'Spark circuit of an output unknown',
  page: {
    catches:
      'An ignition output with a `circuit` above `ignition.circuits`. It is a warning if the engine has several circuits and an ignition output does not say which it belongs to.',
    why: 'Which cylinders still fire after the loss of a circuit follows from the circuit of each output.',
    example:
      'ignition: { circuits: 2, ... }\noutputs:\n  ignition_1: { drives: ignition, cylinder: 1, circuit: 3, pin: C5 }',
    remedy: 'Correct `circuit` of the output or `ignition.circuits`.',
    basis: 'The file contradicts itself.',
  },
  *find({ installation: { configuration } }): Generator<Found> {
    const circuits = configuration.ignition?.circuits;
    const count = circuits?.canonical ?? 1;
    const related = circuits ? [{ at: circuits.node, message: 'The number of circuits.' }] : [];
    const coils = outputsThatDrive(configuration, 'ignition');
    for (const { name, output } of coils) {
      if (!output.circuit || output.circuit.canonical <= count) continue;
      yield {
        at: output.circuit.node,
        message: `${quote(name)} belongs to circuit ${output.circuit.node.text}, but the ignition has ${count === 1 ? 'only one circuit' : `${count} circuits`}.`,
        related,
      };
    }
    const unnamed = coils.filter(({ output }) => !output.circuit);
    if (count < 2 || unnamed.length === 0) return;
    yield {
      at: nodeOf(unnamed[0]!.output),
      severity: 'warning',
      message: `The ignition has ${count} circuits, but ${listed(unnamed.map(({ name }) => quote(name)))} ${unnamed.length === 1 ? 'does' : 'do'} not say which one.`,
      related,
    };
  },
});

export const circuitLossStopsCylinder: Check = engineCheck({
  id: 'circuit-loss-stops-cylinder',
  severity: 'warning',
  title: 'Lost circuit stops a cylinder',
  page: {
    catches:
      'An ignition with several circuits in which the loss of one leaves a cylinder without any spark.',
    why: 'Independent circuits are fitted so that the engine keeps running on one of them. A cylinder that depends on a single circuit stops with it and sends its fuel unburnt into the exhaust.',
    example:
      'ignition: { circuits: 2, ... }\noutputs:\n  ignition_1: { drives: ignition, cylinders: [1, 2], circuit: 1 }\n  ignition_2: { drives: ignition, cylinders: [3, 4], circuit: 2 }',
    remedy: 'Fit two plugs per cylinder, each on its own circuit, or accept the finding with the reason.',
    basis: 'Arithmetic: the cylinders that the outputs of the other circuits name.',
  },
  *find({ installation: { configuration } }): Generator<Found> {
    const { circuits } = configuration.ignition ?? {};
    const lost = [...(firedByOneCircuit(configuration) ?? [])].filter(([, alone]) => alone.length > 0);
    if (!circuits || lost.length === 0) return;
    const each = lost.map(([circuit, alone]) => {
      const sorted = [...alone].sort((a, b) => a - b).map(String);
      return `without circuit ${circuit}, ${alone.length === 1 ? 'cylinder' : 'cylinders'} ${listed(sorted)} ${alone.length === 1 ? 'has' : 'have'} no spark`;
    });
    yield { at: circuits.node, message: `${capital(each.join('; '))}.` };
  },
});

export const firingIntervalsInvalid: Check = engineCheck({
  id: 'firing-intervals-invalid',
  severity: 'error',
  title: 'Firing intervals do not fit cycle',
  page: {
    catches:
      'A list `engine.firing_intervals` with more or fewer intervals than cylinders, with one that is not positive, or with a sum that is not the cycle: 720 deg for a four-stroke, 360 deg for a two-stroke.',
    why: 'Dwell and knock window are checked against the shortest interval. If the list is wrong, even firing is assumed, which leaves more time than the engine has.',
    example:
      'engine: { cylinders: 2, cycle: four-stroke, firing_intervals: [270 deg, 540 deg], ... }   # 810 deg',
    remedy: 'Write one interval per cylinder, in firing order, from each firing to the next.',
    basis: 'Arithmetic: one cycle contains one firing of each cylinder.',
  },
  *find({ installation: { configuration } }): Generator<Found> {
    const { firing_intervals: list, cylinders, cycle } = configuration.engine ?? {};
    const angle = cycleAngle(configuration);
    if (!list || !cylinders || !cycle || angle === undefined) return;
    const degrees = list.items.map(({ canonical }) => canonical);
    if (degrees.length !== cylinders.canonical) {
      yield {
        at: list.node,
        message: `The list has ${formatNumber(degrees.length)} firing intervals, but the engine has ${formatNumber(cylinders.canonical)} cylinders.`,
        related: [{ at: cylinders.node, message: 'The number of cylinders.' }],
      };
    } else if (!addsUp(degrees, angle)) {
      const sum = degrees.reduce((total, one) => total + one, 0);
      const wrong = degrees.every((one) => one > 0)
        ? `The firing intervals add up to ${formatQuantity(sum, 'deg')}, but a ${cycle.text} cycle has ${formatQuantity(angle, 'deg')}`
        : 'One of the firing intervals is not positive';
      yield {
        at: list.node,
        message: `${wrong}.`,
        related: [{ at: cycle.node, message: 'The cycle.' }],
      };
    }
  },
});
