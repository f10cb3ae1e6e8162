import { heldAt } from '../derived/cell.ts';
import { injectorFlow } from '../derived/fuel.ts';
import { highestManifoldPressure, SEA_LEVEL } from '../derived/full-load.ts';
import { injectorFlowAtRailPressure } from '../derived/rail-flow.ts';
import { valueText } from '../derived/value.ts';
import { maximumOf } from '../extremes.ts';
import type { Node } from '../source/tree.ts';
import { excessFinding, excessOf } from './beyond.ts';
import { boundCheck, type Check, type EngineSubject, engineCheck } from './check.ts';
import { difference, formatQuantity } from './words.ts';

export const railPressureDiffersFromRated: Check = engineCheck({
  id: 'rail-pressure-differs-from-rated',
  severity: 'information',
  title: 'Rail pressure differs from rated pressure',
  page: {
    catches: 'A rail pressure that differs from the pressure at which the injector’s static flow is rated.',
    why: 'Flow is proportional to the square root of the pressure. Derived values account for this, but a reader may take the rated flow for the actual one.',
    example:
      'fuel:\n  rail: { pressure: 3.5 bar }\n  injectors: { static_flow: 380 cc/min, rated_pressure: 3.0 bar }',
    remedy:
      'If the difference is intended, do nothing. Hover over the flow to see what the injector delivers at this pressure.',
    basis: 'Orifice equation: volume flow is proportional to the square root of the pressure difference.',
  },
  *find({ installation: { configuration }, derivation }) {
    const pressure = configuration.fuel?.rail?.pressure;
    const rated = configuration.fuel?.injectors?.rated_pressure;
    const flow = derivation.one(injectorFlowAtRailPressure);
    if (!pressure || !rated || !flow || Math.abs(pressure.canonical / rated.canonical - 1) < 1e-6) return;
    yield {
      at: pressure.node,
      message: `Rail pressure is ${pressure.node.text}, but the flow is rated at ${rated.node.text}. At rail pressure an injector delivers ${valueText(flow)}.`,
      related: [{ at: rated.node, message: 'The rated pressure.' }],
    };
  },
});

export const fixedRegulatorWithBoost: Check = boundCheck({
  id: 'fixed-regulator-with-boost',
  severity: 'warning',
  title: 'Fixed regulator on a boosted engine',
  page: {
    catches:
      'A fixed fuel-pressure regulator on a boosted engine. The message gives the lowest injector flow of all states in the envelope.',
    why: 'A fixed regulator holds the rail at a constant pressure above ambient. As the manifold pressure rises, the pressure across the injector falls, and with it the flow, just where the engine needs the most fuel.',
    example: 'fuel:\n  rail: { regulator: fixed, pressure: 3.0 bar gauge }\nboost: { ... }',
    remedy:
      'Use a regulator that follows the manifold pressure, or make sure that the controller corrects the pulse width for the pressure across the injector.',
    basis: 'Orifice equation. The choice of regulator is common practice, no source.',
  },
  *find(subject, proof) {
    const { configuration } = subject.installation;
    const { rail } = configuration.fuel ?? {};
    if (rail?.regulator?.text !== 'fixed' || !rail.pressure || !configuration.boost) return;
    // Another check reports a pressure relative to the manifold, which contradicts a fixed regulator.
    if (rail.pressure.quantity.reference !== 'gauge') return;
    const atAmbient = subject.derivation.one(injectorFlowAtRailPressure);
    const least =
      atAmbient &&
      (yield* excessOf(subject, proof, {
        ...{ value: injectorFlow, side: 'low', limitOf: () => atAmbient.canonical },
      }));
    const { node: at } = rail.regulator;
    if (atAmbient && least?.verdict === 'broken') {
      yield* excessFinding(subject, least, (_, { reached, where }) => ({
        ...{ at, name: 'lowest_injector_flow', verb: 'gives' },
        message: `An injector delivers only ${formatQuantity(reached, atAmbient.show)} ${where}, ${difference(reached, atAmbient.canonical)} less than the ${valueText(atAmbient)} at ambient pressure`,
      }));
      return;
    }
    const message = lessFlowAtSeaLevel(subject, rail.pressure.node);
    if (message) yield { at, message };
  },
});

/** The flow at the highest manifold pressure at sea level and rated speed, for a file whose states are unknown. */
function lessFlowAtSeaLevel({ installation }: EngineSubject, node: Node): string | undefined {
  const { configuration, engines } = installation;
  const speed = configuration.engine?.rated_speed ?? configuration.engine?.maximum_speed;
  if (!speed) return undefined;
  const pressures = engines.map((engine) => highestManifoldPressure(engine, speed.canonical) ?? 0);
  const highest = maximumOf(pressures);
  const engine = engines[pressures.indexOf(highest)]!;
  const boosted = heldAt(engine, node, speed, { canonical: highest }).get(injectorFlow);
  const atAmbient = heldAt(engine, node, speed, { canonical: SEA_LEVEL }).get(injectorFlow);
  return (
    boosted &&
    atAmbient &&
    `At a manifold pressure of ${formatQuantity(highest, 'kPa abs')} and sea level an injector delivers ${valueText(boosted)}, ${difference(boosted.canonical, atAmbient.canonical)} less than the ${valueText(atAmbient)} at ambient pressure.`
  );
}
