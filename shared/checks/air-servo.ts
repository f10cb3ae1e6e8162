import { differingIn } from '../configuration/installation.ts';
import { nodeOf } from '../configuration/values.ts';
import { absoluteCut } from '../derived/boost-target.ts';
import type { StateConfiguration } from '../derived/core-engine.ts';
import { pressureServoClosed } from '../derived/servo.ts';
import { badRows, worstOf } from './bad-cells.ts';
import { excessFinding, excessOf } from './beyond.ts';
import { boundCheck, type Check, engineCheck, type Found } from './check.ts';
import { formatQuantity, percent, statedBeside } from './words.ts';

/** The key of a servo that says how the engine runs it, without which nothing is known about a stuck one. */
const servoKey = ({ boost }: StateConfiguration) => boost?.servo?.on_fault ?? boost?.servo?.base_position;

const cutOf = (configuration: StateConfiguration): number | undefined => {
  const cut = servoKey(configuration) && configuration.boost?.overboost_cut;
  return cut && absoluteCut(cut);
};

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
    for (const { configuration } of differingIn(subject.installation.selectable, 'boost')) {
      const { servo, overboost_cut: cut } = configuration.boost ?? {};
      if (!servo || !servoKey(configuration) || cut) continue;
      yield {
        at: nodeOf(servo),
        severity: 'warning',
        message: 'If the wastegate sticks closed, nothing limits the boost: there is no `overboost_cut`.',
      };
    }
    const pressure = yield* excessOf(subject, proof, {
      ...{ value: pressureServoClosed, side: 'high', limitOf: cutOf },
    });
    yield* excessFinding(subject, pressure, ({ boost: { servo, overboost_cut: cut } = {} }, excess) => {
      if (!servo || !cut) return undefined;
      return {
        ...{ at: servo.on_fault?.node ?? nodeOf(servo), name: 'wastegate_stuck_closed' },
        message: `If the wastegate sticks closed, the compressor reaches ${formatQuantity(excess.reached, 'kPa abs', 3)} ${excess.where}, above the cut at ${statedBeside(cut, 'kPa abs', absoluteCut(cut))}, which then stops the engine`,
      };
    });
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
      const [low, high] = [closed, open].map(({ canonical }) => canonical).sort((a, b) => a - b) as [
        number,
        number,
      ];
      const excess = (cell: number) => Math.max(low - cell, cell - high);
      const outside = badRows(map, (cell) => excess(cell) > ROUNDING).flat();
      if (outside.length === 0) continue;
      const worst = worstOf(outside, excess);
      const more = outside.length === 1 ? '' : ` (and ${outside.length - 1} more)`;
      yield {
        at: worst.node,
        message: `A base position of ${percent(worst.canonical)}${more} is outside the servo’s travel of ${closed.node.text} (closed) to ${open.node.text} (open).`,
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
