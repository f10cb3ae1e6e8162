// Generates installations of any size from a sample, for the benchmark: plausible, and no two sections are equal.
import { readFileSync } from 'node:fs';

const SAMPLE = new URL('../../samples/dotterel/', import.meta.url);
const engine = readFileSync(new URL('dotterel-16t.engine.yaml', SAMPLE), 'utf8');
const controller = readFileSync(new URL('four-channel.controller.yaml', SAMPLE), 'utf8');

/** The sections that a small installation leaves out. */
const LEFT_OUT = ['map_sets', 'bus', 'protection', 'harness', 'closed_loop', 'operating_points'];
/** The share of each kind in the added lines. */
const SHARES = { sets: 0.3, messages: 0.25, points: 0.25, sensors: 0.2 };
/** No panel has more map sets than this; larger files grow in everything else. */
const MOST_SETS = 24;

/**
 * An engine file of about this many lines, and its controller file.
 * @param {number} lines
 * @returns {{ engine: string, controller: string, controllerName: string }}
 */
export function installation(lines) {
  const all = sectionsOf(engine);
  const isSmall = lines < 600;
  const sections = isSmall ? omit(all, LEFT_OUT) : all;
  const counts = countsFor(Math.max(0, lines - linesIn(Object.values(sections).join(''))), isSmall);
  const grown = {
    ...sections,
    sensors: all.sensors + repeat(counts.sensors, sensor),
    bus: (sections.bus ?? 'bus:\n  bitrate: 1000 kbit/s\n  messages:\n') + repeat(counts.messages, message),
    operating_points:
      (sections.operating_points ?? 'operating_points:\n') + repeat(counts.points, (i) => point(i, isSmall)),
    ...(!isSmall && { map_sets: all.map_sets + repeat(counts.sets, mapSet) }),
  };
  return {
    engine: Object.values(grown).join(''),
    controller: withPins(controller, counts.sensors),
    controllerName: 'four-channel.controller.yaml',
  };
}

const omit = (object, keys) =>
  Object.fromEntries(Object.entries(object).filter(([key]) => !keys.includes(key)));

/** The top-level keys with their text, including the comments above them. */
function sectionsOf(text) {
  const sections = {};
  for (const piece of text.split(/^(?=(?:#[^\n]*\n|\n)*[a-z_]+:)/m)) {
    const key = /^([a-z_]+):/m.exec(piece)?.[1] ?? '';
    sections[key] = (sections[key] ?? '') + piece;
  }
  return sections;
}

/** The number of each kind; lines that the map sets leave over go to the others. */
function countsFor(added, isSmall) {
  const sets = isSmall ? 0 : Math.min(MOST_SETS, Math.floor((added * SHARES.sets) / linesIn(mapSet(0))));
  const left = added - sets * linesIn(mapSet(0));
  const of = (share, text) => Math.max(1, Math.floor((left * share) / (1 - SHARES.sets) / linesIn(text)));
  return {
    sets,
    messages: of(SHARES.messages, message(0)),
    points: of(SHARES.points, point(0, isSmall)),
    sensors: of(SHARES.sensors, sensor(0)),
  };
}

function repeat(count, make) {
  return Array.from({ length: count }, (_, i) => make(i)).join('');
}

const linesIn = (text) => text.split('\n').length - 1;

/** A map set with its own boost target and mixture, each slightly lower and leaner than the one before. */
function mapSet(i) {
  const share = i / MOST_SETS;
  const rows = (low, high, height, width, digits) =>
    repeat(height, (row) => {
      const cells = Array.from({ length: width }, (_, column) => {
        const value = low + ((high - low) * row) / (height - 1) - (0.01 * column * (high - low)) / width;
        return value.toFixed(digits);
      });
      return `              - [${cells.join(', ')}]\n`;
    });
  return `    set_${i}:
      when: closed
      apply:
        boost:
          target:
            x: { quantity: engine_speed, unit: rpm, breakpoints: [1600, 2400, 3200, 4000, 4800, 5400, 5800, 6200] }
            y: { quantity: throttle_position, unit: "%", breakpoints: [0, 20, 40, 60, 80, 100] }
            unit: kPa abs
            values:
${rows(40, 146 - 20 * share, 6, 8, 1)}        fuel:
          target_lambda:
            x:
              quantity: engine_speed
              unit: rpm
              breakpoints: [1000, 1600, 2200, 2800, 3400, 4000, 4600, 5200, 5800, 6200]
            y:
              quantity: manifold_pressure
              unit: kPa abs
              breakpoints: [30, 45, 60, 75, 90, 100, 115, 130, 145, 160, 180]
            values:
${rows(1.0, 0.8 + 0.02 * share, 11, 10, 3)}`;
}

function message(i) {
  return `    extra_${i}:
      id: 0x${(0x10000 + i).toString(16)}
      length: 8 byte
      extended: true
      every: ${2 + (i % 8)} s
      signals:
        engine_speed: { start_bit: 0, bits: 16, byte_order: little, scale: 0.25 rpm, range: 0..7000 rpm }
        throttle_position: { start_bit: 16, bits: 8, scale: 0.5 %, range: 0..95 % }
`;
}

function point(i, isSmall) {
  return `  point_${i}:
    speed: ${3000 + ((i * 37) % 2400)} rpm
    throttle: ${60 + ((i * 7) % 40)} %
    pressure_altitude: ${(i * 130) % 8000} ft
    manifold_pressure: ${60 + (i % 80)} kPa abs
${isSmall ? '' : '    map_set: tow\n'}`;
}

function sensor(i) {
  return `  extra_${i}:
    measures: oil_pressure
    kind: ratiometric
    pin: D${i + 1}
    supply: 5 V
    scaling: { 0.5 V: 0 bar gauge, 4.5 V: ${3 + (i % 3)} bar gauge }
    fault_outside: 0.2..4.8 V
`;
}

function withPins(text, count) {
  const pins = repeat(
    count,
    (i) => `  D${i + 1}: { role: analog-input, range: 0..5 V, resolution: 12 bit }\n`,
  );
  return text
    .replace('C: { positions: 20 } }', `C: { positions: 20 }, D: { positions: ${Math.max(1, count)} } }`)
    .replace(/^limits:/m, `${pins}\n$&`);
}
