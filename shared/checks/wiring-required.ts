import { nodeOf } from '../configuration/values.ts';
import { counted } from '../counted.ts';
import { cylindersOf, outputsThatDrive, undrivenWastegate } from '../derived/loads.ts';
import { keyNode } from '../source/source-file.ts';
import { type Check, engineCheck } from './check.ts';
import { quote } from './form-words.ts';

export const outputMissing: Check = engineCheck({
  id: 'output-missing',
  severity: 'error',
  title: 'Output missing',
  page: {
    catches:
      'Injectors, an ignition system or a wastegate that no output drives, in a file with an `outputs` section. A pneumatic wastegate with a gauge target works without an output unless a limit or a map set changes the boost.',
    why: 'The controller computes a value that it cannot send anywhere: the wastegate stays where its spring puts it, or the engine has no fuel or spark.',
    example:
      'boost: { control: servo-wastegate, ... }\noutputs:\n  injector_1: { drives: injector, cylinder: 1 }   # and none drives a wastegate-servo',
    remedy: 'Add the output.',
    basis: 'The file contradicts itself.',
  },
  *find({ installation: { configuration, engines } }) {
    const { outputs, fuel, ignition, boost } = configuration;
    if (!outputs) return;
    const wastegate = undrivenWastegate(engines.map((engine) => engine.configuration));
    if (wastegate)
      yield {
        at: boost!.control!.node,
        message: `Boost is controlled by a ${boost!.control!.text.replace('-', ' ')}, but no output drives a ${quote(wastegate)}.`,
      };
    const lacks = (load: 'injector' | 'ignition') => outputsThatDrive(configuration, load).length === 0;
    if (fuel?.injectors && lacks('injector'))
      yield { at: keyNode(nodeOf(fuel.injectors)), message: 'No output drives an injector.' };
    if (ignition && lacks('ignition'))
      yield { at: keyNode(nodeOf(ignition)), message: 'No output drives the ignition.' };
  },
});

export const sparkCircuitMissing: Check = engineCheck({
  id: 'spark-circuit-missing',
  severity: 'warning',
  title: 'Ignition outputs do not match plugs',
  page: {
    catches:
      'Cylinders with fewer ignition outputs than `plugs_per_cylinder`, or with more. A distributor has one output per plug for all cylinders.',
    why: 'Two plugs per cylinder keep the engine running when one circuit fails. If both are on one output, one broken wire takes both sparks.',
    example:
      'ignition: { plugs_per_cylinder: 2, arrangement: per-cylinder, ... }\noutputs:\n  ignition_1: { drives: ignition, cylinder: 1 }   # one output per cylinder',
    remedy: 'Add the outputs of the other plugs, or correct `plugs_per_cylinder`.',
    basis: 'The meaning of the keys: two plugs carry two independent sparks.',
  },
  *find({ installation: { configuration } }) {
    const { ignition, engine } = configuration;
    const count = engine?.cylinders?.canonical;
    const outputs = outputsThatDrive(configuration, 'ignition');
    if (!ignition || outputs.length === 0 || !count || !Number.isInteger(count) || count > 24) return;
    const plugs = ignition.plugs_per_cylinder;
    const wanted = plugs?.canonical ?? 1;
    const at = plugs?.node ?? keyNode(nodeOf(configuration.outputs!));
    if (ignition.arrangement?.text === 'distributor') {
      if (outputs.length < wanted)
        yield {
          at,
          message: `Each cylinder has ${counted(wanted, 'plug')}, but the distributor has only ${counted(outputs.length, 'ignition output')}.`,
        };
      return;
    }
    const served = outputs.flatMap(({ output }) => [...new Set(cylindersOf(output))]);
    const cylinders = Array.from({ length: count }, (_, i) => i + 1);
    const countOf = (cylinder: number) => served.filter((one) => one === cylinder).length;
    // `cylinder-without-ignition` reports cylinders that have fewer than others.
    const [first, ...others] = new Set(cylinders.map(countOf));
    if (!first || others.length > 0 || first === wanted) return;
    yield {
      at,
      message: `Each cylinder has ${counted(wanted, 'spark plug')}, but ${counted(first, 'ignition output')}.`,
    };
  },
});
