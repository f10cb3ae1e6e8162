import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { ESSENTIAL, fileHints, pointHints } from '../../server/features/hint-texts.ts';
import { analyse } from '../../shared/analysis.ts';
import { sectionAt } from '../../shared/configuration/applied.ts';
import { createProject } from '../../shared/configuration/project.ts';
import { fileValues, pointValues, valuesPlacedIn } from '../../shared/derived/registry.ts';
import { pathOf } from '../../shared/source/tree.ts';

// A derived value is one object, its line in the registry and, if it is shown beside the text, its hint. A forgotten
// one would just be missing, so these tests find it.

/** Values used only to derive others, and not shown. */
const BETWEEN_OTHERS = new Set([
  'unboosted_manifold_pressure',
  'target_lambda_of_map',
  'estimated_power_warm',
]);

/** Values of the whole file that are shown in hovers, in the panel and on the command line, but not beside the text. */
const WITHOUT_HINT = new Set([
  ...['mean_piston_speed_at_maximum_speed', 'next_spark', 'dwell_for_target_current'],
  ...[
    'coil_energy_at_minimum_supply',
    'dwell_share',
    'dwell_share_at_minimum_supply',
    'highest_boost_target',
  ],
  ...[
    'sensor_faults',
    'scaling_at_fault_low',
    'scaling_at_fault_high',
    'units_per_bit',
    'thermistor_fit_error',
  ],
  ...['thermistor_self_heating', 'driver_load', 'driver_current', 'wire_resistance', 'current_coils'],
  ...['spark_energy_at_cranking', 'cylinders_firing_without_circuit'],
  ...['current_heaters', 'supply_wire_current', 'signal_resolution'],
]);

const root = fileURLToPath(new URL('../../', import.meta.url));
const registered = [...fileValues, ...pointValues];

/** Installations that together have every section. */
const derivations = [
  ...['tests/fixtures/complete.engine.yaml', 'tests/fixtures/every-word.engine.yaml'],
  'tests/fixtures/wired.engine.yaml',
  'samples/dotterel/dotterel-16t.engine.yaml',
].map(
  (path) =>
    analyse(
      createProject((asked) => readFileSync(asked, 'utf8')),
      root + path,
    )!.derivation!,
);

interface Value {
  readonly id: string;
}

/** The values that a file of shared/derived exports. */
async function valuesOf(name: string): Promise<Value[]> {
  const exported: unknown[] = Object.values(await import(`${root}shared/derived/${name}`));
  return exported.filter(
    (one): one is Value => typeof one === 'object' && one !== null && 'id' in one && 'derive' in one,
  );
}

test('every derived value stands in the registry', async () => {
  const forgotten: string[] = [];
  let met = 0;
  for (const name of readdirSync(`${root}shared/derived`)) {
    for (const value of await valuesOf(name)) {
      met++;
      if (BETWEEN_OTHERS.has(value.id) || registered.some((one) => one === value)) continue;
      forgotten.push(`${value.id} of shared/derived/${name} has no line in shared/derived/registry.ts`);
    }
  }
  expect(forgotten).toEqual([]);
  expect(met).toBe(registered.length + BETWEEN_OTHERS.size);
});

test('no two values share an id', () => {
  const ids = registered.map(({ id }) => id);
  expect(ids.filter((id, i) => ids.indexOf(id) !== i)).toEqual([]);
});

test('every value is derived of one of the complete installations', () => {
  const isDerived = (id: string) =>
    derivations.some(
      (derivation) =>
        fileValues.some((value) => value.id === id && derivation.get(value).length > 0) ||
        pointValues.some((value) => value.id === id && derivation.points.some((point) => point.get(value))),
    );
  expect(registered.map(({ id }) => id).filter((id) => !isDerived(id))).toEqual([]);
});

test('the registry lists a value under every section that it is placed in, where hovers and hints look', () => {
  const missing = new Set<string>();
  for (const derivation of derivations) {
    for (const value of fileValues) {
      for (const { node } of derivation.get(value)) {
        const section = sectionAt(pathOf(node));
        if (!valuesPlacedIn(new Set([section])).includes(value)) missing.add(`${value.id}: ${section}`);
      }
    }
  }
  expect([...missing]).toEqual([]);
});

test('every value of the whole file has its hint in hint-texts.ts, or is one that has none', () => {
  const undecided = fileValues.map(({ id }) => id).filter((id) => !(id in fileHints || WITHOUT_HINT.has(id)));
  expect(undecided).toEqual([]);
  expect([...WITHOUT_HINT].filter((id) => id in fileHints)).toEqual([]);
});

test('what is said of values by their ids is said of values that there are', () => {
  const none = (ids: Iterable<string>, values: readonly Value[]) =>
    [...ids].filter((id) => !values.some((value) => value.id === id));
  expect(none(Object.keys(fileHints), fileValues)).toEqual([]);
  expect(none(WITHOUT_HINT, fileValues)).toEqual([]);
  expect(none(Object.keys(pointHints), pointValues)).toEqual([]);
  expect([...ESSENTIAL].filter((id) => !(id in fileHints))).toEqual([]);
});
