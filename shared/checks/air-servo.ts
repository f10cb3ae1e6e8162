import { nodeOf } from '../configuration/values.ts';
import { absoluteAtSeaLevel } from '../derived/boost-target.ts';
import type { StateConfiguration } from '../derived/core-engine.ts';
import { pressureServoClosed } from '../derived/servo.ts';
import { excessOf, witnessFixes } from './beyond.ts';
import { boundCheck, type Check, engineCheck, type Found } from './check.ts';
import { absoluteCut } from './overboost-cut.ts';
import { formatQuantity, percent, statedBeside } from './words.ts';

const cutOf = ({ boost }: StateConfiguration): number | undefined =>
  boost?.overboost_cut && absoluteAtSeaLevel(boost.overboost_cut.quantity);

export const servoClosesOnFault: Check = engineCheck({
  id: 'servo-closes-on-fault',
  severity: 'warning',
  title: 'Wastegate closes on a fault',
  page: {
    catches: 'A wastegate servo with `on_fault: closed`.',
    why: 'With the wastegate closed all exhaust goes through the turbine, and only the overboost cut ends the rise of pressure. An open wastegate costs power, but the engine keeps running.',
    example: 'boost:\n  servo: { closed_position: 8 %, open_position: 92 %, on_fault: closed }',
    remedy: 'Let a spring or the controller open the wastegate on a fault.',
    basis: 'Common practice, no source: an actuator fails to the side that cannot destroy the engine.',
  },
  *find({ installation: { engines } }): Generator<Found> {
    for (const { configuration } of engines) {
      const { servo, overboost_cut: cut } = configuration.boost ?? {};
      if (servo?.on_fault?.text !== 'closed') continue;
      const end = cut ? `only the cut at ${cut.node.text} limits the boost` : 'nothing limits the boost';
      yield {
        at: servo.on_fault.node,
        message: `The wastegate closes if its servo fails; then ${end}.`,
        related: cut ? [{ at: cut.node, message: 'The overboost cut.' }] : [],
      };
    }
  },
});

export const servoStuckClosed: Check = boundCheck({
  id: 'servo-stuck-closed',
  severity: 'information',
  title: 'Stuck wastegate trips overboost cut',
  page: {
    catches:
      'A servo with a `base_position` or an `on_fault` whose wastegate, if it sticks closed, lets the compressor reach the overboost cut, at an operating point or in any other state in the envelope. It is a warning if the engine has no cut.',
    why: 'A servo can stick in any position. If it sticks closed, boost rises to the cut, and the engine stops until the pressure has fallen; the pilot must be prepared for that. Without a cut, the engine is destroyed.',
    example:
      'boost:\n  compressor: { maximum_pressure_ratio: 2.4, ... }\n  overboost_cut: 168 kPa abs   # the compressor reaches 232 kPa abs\n  servo: { on_fault: open }',
    remedy:
      'Add an `overboost_cut`. Tell the pilot, in the operating instructions, to close the throttle partly if the wastegate sticks.',
    basis: 'The pressure follows from the maximum pressure ratio of the compressor.',
  },
  *find(subject, proof) {
    const { boost } = subject.installation.configuration;
    const servo = boost?.servo;
    const stated = servo?.on_fault ?? servo?.base_position;
    if (!servo || !stated) return;
    if (!boost.overboost_cut) {
      yield {
        at: nodeOf(servo),
        severity: 'warning',
        message: 'If the wastegate sticks closed, nothing limits the boost: there is no `overboost_cut`.',
      };
      return;
    }
    const pressure = yield* excessOf(subject, proof, {
      ...{ value: pressureServoClosed, side: 'high', limitOf: cutOf },
    });
    if (!pressure || pressure.verdict === 'open') return;
    yield {
      at: servo.on_fault?.node ?? nodeOf(servo),
      message: `If the wastegate sticks closed, the compressor reaches ${formatQuantity(pressure.reached, 'kPa abs', 3)} ${pressure.where}, above the cut at ${statedBeside(boost.overboost_cut, 'kPa abs', absoluteCut(boost.overboost_cut))}, which then stops the engine.`,
      related: pressure.related,
      fixes: witnessFixes(subject, pressure, 'wastegate_stuck_closed'),
    };
  },
});

export const servoBaseOutsideTravel: Check = engineCheck({
  id: 'servo-base-outside-travel',
  severity: 'error',
  title: 'Base position outside servo travel',
  page: {
    catches: 'A cell of `boost.servo.base_position` outside the travel from closed to open position.',
    why: 'The servo drives against its stop and draws its stall current, and the loop can only correct in one direction.',
    example:
      'boost:\n  servo: { closed_position: 8 %, open_position: 92 %, base_position: { ..., values: [[95, 90], [40, 35]] } }',
    remedy: 'Correct the cell or the end position.',
    basis: 'The file contradicts itself.',
  },
  *find({ installation: { engines } }): Generator<Found> {
    for (const { configuration } of engines) {
      const {
        base_position: map,
        closed_position: closed,
        open_position: open,
      } = configuration.boost?.servo ?? {};
      if (!map?.cells || !closed || !open) continue;
      const ends = [closed.canonical, open.canonical].sort((a, b) => a - b);
      const outside = [...map.cells].flatMap((cell, i) => {
        const by = Math.max(ends[0]! - cell, cell - ends[1]!);
        return by > ROUNDING ? [{ cell, by, node: map.rows.flat()[i] }] : [];
      });
      const [worst, ...others] = outside.sort((a, b) => b.by - a.by);
      if (!worst) continue;
      const more = others.length === 0 ? '' : ` (and ${others.length} more)`;
      yield {
        at: worst.node ?? map.node,
        message: `A base position of ${percent(worst.cell)}${more} is outside the servo’s travel of ${closed.node.text} (closed) to ${open.node.text} (open).`,
        related: [
          { at: closed.node, message: 'The closed position.' },
          { at: open.node, message: 'The open position.' },
        ],
      };
    }
  },
});

/** A difference that is only the rounding of percent. */
const ROUNDING = 1e-9;
