/** A circuit of an invented harness, as it is written in a file. */
export interface WrittenCircuit {
  readonly name: string;
  readonly from: string;
  readonly to: readonly string[];
  readonly via: readonly string[];
}

/** An engine file with nothing but circuits. */
export const circuitsText = (circuits: readonly WrittenCircuit[]): string => {
  const quoted = (list: readonly string[]) => `[${list.map((one) => JSON.stringify(one)).join(', ')}]`;
  const lines = circuits.map(
    ({ name, from, to, via }) =>
      `    ${name}: { from: ${JSON.stringify(from)}, to: ${quoted(to)}${via.length > 0 ? `, via: ${quoted(via)}` : ''} }\n`,
  );
  return `enginefile: 1\nharness:\n  circuits:\n${lines.join('')}`;
};

/**
 * A harness of a given number of conductors, as of a real engine: pins to sensors and loads through two connectors, with splices
 * for supplies and grounds. The same number gives the same harness.
 */
export function randomHarness(count: number): WrittenCircuit[] {
  let seed = 7;
  const next = (below: number) => {
    seed = (seed * 1103515245 + 12345) % 2147483648;
    return seed % below;
  };
  return Array.from({ length: count }, (_, i): WrittenCircuit => {
    const name = `circuit_${i}_${'x'.repeat(next(12))}`;
    const via = next(3) === 0 ? [] : [`bulkhead_${next(2)}.${i + 1}`];
    const part = `${['sensors', 'outputs'][next(2)]}.part_${Math.floor(i / 3)}`;
    switch (next(4)) {
      case 0:
        return { name, from: `splices.joint_${next(4)}`, to: [`${part}.supply_${i}`], via };
      case 1:
        return { name, from: ['supply', 'ground'][next(2)]!, to: [`splices.joint_${next(4)}`], via };
      default:
        return { name, from: `controller.${'ABC'[next(3)]}${i + 1}`, to: [`${part}.signal_${i}`], via };
    }
  });
}
