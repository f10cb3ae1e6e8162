import { randomOf } from '../fuzz/random.mjs';
import { completeController, completeEngine } from './command-line.ts';

/** `count` texts joined. */
export const times = (count: number, text: (i: number) => string): string =>
  Array.from({ length: count }, (_, i) => text(i)).join('');

/** Evenly spaced breakpoints. */
const points = (count: number, from: number, to: number): string =>
  Array.from({ length: count }, (_, i) => (from + (i * (to - from)) / (count - 1)).toFixed(2)).join(', ');

/**
 * Maps of the complete engine over engine speed and manifold pressure, with the lowest and highest value for a cell.
 */
const MAPS = {
  volumetric_efficiency: { unit: '"%"', from: 40, to: 100 },
  target_lambda: { unit: '', from: 0.5, to: 1.5 },
  advance: { unit: 'deg', from: -20, to: 60 },
} as const;

type MapName = keyof typeof MAPS;

/** The complete engine with a map of `size` rows and columns whose cells are random. */
export function withRoughMap(size: number, name: MapName): string {
  const { below } = randomOf(1);
  return completeEngineWith(name, size, `values:\n${rows(size, name, () => below(1000) / 1000)}`);
}

/** The same with a smooth map in which one cell of twenty is random. */
export function withSpikes(size: number, name: MapName): string {
  const { below } = randomOf(1);
  const cell = (row: number, column: number): number =>
    below(20) === 0 ? below(1000) / 1000 : 0.3 + (0.2 * (row + column)) / size;
  return completeEngineWith(name, size, `values:\n${rows(size, name, cell)}`);
}

/**
 * The complete engine with a target lambda map in brackets that contains air-fuel ratios. One fix divides all of them.
 */
export function withAirFuelRatios(size: number): string {
  const { below } = randomOf(1);
  const row = (): string => Array.from({ length: size }, () => 10 + below(80) / 10).join(', ');
  return completeEngineWith(
    'target_lambda',
    size,
    `values: [\n${times(size, () => `      [${row()}],\n`)}    ]\n`,
  );
}

/** `cell` returns a number from 0 for the lowest value of a cell to 1 for the highest. */
function rows(size: number, name: MapName, cell: (row: number, column: number) => number): string {
  const { from, to } = MAPS[name];
  const text = (row: number, column: number): string => (from + (to - from) * cell(row, column)).toFixed(2);
  const row = (i: number): string => Array.from({ length: size }, (_, j) => text(i, j)).join(', ');
  return times(size, (i) => `      - [${row(i)}]\n`);
}

function completeEngineWith(name: MapName, size: number, values: string): string {
  const { unit } = MAPS[name];
  const map = `  ${name}:
    x: { quantity: engine_speed, unit: rpm, breakpoints: [${points(size, 1000, 6000)}] }
    y: { quantity: manifold_pressure, unit: kPa abs, breakpoints: [${points(size, 30, 180)}] }
${unit && `    unit: ${unit}\n`}    ${values}`;
  const written = new RegExp(`^  ${name}:\\n(?: {4}.*\\n)+`, 'm');
  if (!written.test(completeEngine)) throw new Error(`the complete engine has no ${name}`);
  return completeEngine.replace(written, () => map);
}

/**
 * This many engine files share a controller file. The first of them is a complete engine, and every third is an overlay
 * of it.
 */
const GROUP = 20;

/**
 * The files of a workshop with many installations, all different: complete engines and overlays. With another `state`,
 * the numbers in every installation and controller file differ.
 */
export function workshopOf(installations: number, state: number): Readonly<Record<string, string>> {
  const files: Record<string, string> = {};
  for (let i = 0; i < installations; i++) {
    const group = Math.floor(i / GROUP);
    const { below } = randomOf(1 + i + state * installations);
    if (i % GROUP === 0) files[`controller-${group}.controller.yaml`] = controllerOf(below);
    const isOverlay = i % GROUP !== 0 && i % 3 === 0;
    files[`${i}.engine.yaml`] = isOverlay ? overlayOf(group * GROUP, i, below) : engineOf(group, i, below);
  }
  return files;
}

const controllerOf = (below: (end: number) => number): string =>
  replaced(completeController, /^supply: 6\.\.18 V$/m, `supply: 6..${16 + below(20) / 10} V`);

function engineOf(group: number, i: number, below: (end: number) => number): string {
  const written: [RegExp, string][] = [
    [/^title: .*$/m, `title: Invented installation ${i}`],
    [/^controller: .*$/m, `controller: ./controller-${group}.controller.yaml`],
    [/bore: 84 mm/, `bore: ${84 + below(40) / 10} mm`],
    [/\[48, 56, 60, 57\]/, `[${48 + below(3)}, ${56 + below(3)}, 60, 57]`],
    [/\[18, 32, 34\]/, `[${16 + below(3)}, ${30 + below(3)}, 34]`],
    [/pump_flow: 110/, `pump_flow: ${100 + below(30)}`],
  ];
  return written.reduce((text, [pattern, by]) => replaced(text, pattern, by), completeEngine);
}

function overlayOf(base: number, i: number, below: (end: number) => number): string {
  return [
    'enginefile: 1',
    `title: Invented overlay ${i}`,
    `based_on: ./${base}.engine.yaml`,
    `fuel: { rail: { pump_flow: ${100 + below(30)} L/h } }`,
    `ignition: { coil: { target_current: ${7 + below(10) / 10} A } }`,
    '',
  ].join('\n');
}

function replaced(text: string, pattern: RegExp, by: string): string {
  if (!pattern.test(text)) throw new Error(`the text has no ${pattern}`);
  return text.replace(pattern, () => by);
}
