import type { EngineConfiguration } from '../../generated/configuration.ts';
import { circuitsOf } from './circuits.ts';
import { harnessWires } from './wiring.ts';

/** One line of the wire list. */
export interface WireListLine {
  readonly circuit: string;
  readonly from: string;
  readonly to: readonly string[];
  readonly via: readonly string[];
  /** As written: `22 AWG`; empty if not stated. */
  readonly gauge: string;
  readonly colour: string;
  /** Of each piece, in m. */
  readonly length: number | undefined;
  /** How many pieces to cut: one to each further end. */
  readonly pieces: number;
  readonly shield: string;
  /** The name and the rating of the fuse or breaker. */
  readonly protector: string;
}

/** The wire list: the circuits end to end, then the wires of the connectors at positions that no circuit has. */
export function wireList(configuration: EngineConfiguration): readonly WireListLine[] {
  const circuits = circuitsOf(configuration);
  const places = new Set(circuits.flatMap(({ ends, via }) => [...ends, ...via].map(({ text }) => text)));
  const lines = circuits.map(({ name, circuit, ends, via }) => {
    const { gauge, colour, length, shield, protects, fuse, breaker } = circuit;
    const [from, ...to] = ends.map(({ text }) => text);
    return {
      ...{ circuit: name, from: from ?? '', to, via: via.map(({ text }) => text) },
      ...{ gauge: gauge?.node.text ?? '', colour: colour?.text ?? '', length: length?.canonical },
      ...{ pieces: Math.max(1, to.length), shield: shield?.text ?? '' },
      protector: [protects?.text, (fuse ?? breaker)?.node.text]
        .filter((text) => text !== undefined)
        .join(' '),
    };
  });
  return [...lines, ...wiresOfConnectors(configuration).filter(({ from }) => !places.has(from))];
}

const wiresOfConnectors = (configuration: EngineConfiguration): WireListLine[] =>
  harnessWires(configuration).map(
    ({ connector, position, wire: { circuit, gauge, length, fuse, breaker } }) => ({
      ...{ circuit: circuit?.text ?? '', from: `${connector}.${position}`, to: [], via: [] },
      ...{ gauge: gauge?.node.text ?? '', colour: '', length: length?.canonical },
      ...{ pieces: 1, shield: '' },
      protector: (fuse ?? breaker)?.node.text ?? '',
    }),
  );
