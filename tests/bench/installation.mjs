// Makes installations of any size out of a sample, for the benchmark: sane, and no two sections alike.
import { readFileSync } from 'node:fs';

const SAMPLE = new URL('../../samples/dotterel/', import.meta.url);
const engine = readFileSync(new URL('dotterel-16t.engine.yaml', SAMPLE), 'utf8');
const controller = readFileSync(new URL('four-channel.controller.yaml', SAMPLE), 'utf8');

/** The sections that a small installation does without. */
const LEFT_OUT = ['map_sets', 'bus', 'protection', 'harness', 'closed_loop', 'operating_points'];
/** What each share of the added lines goes to. */
const SHARES = { sets: 0.3, messages: 0.25, points: 0.25, sensors: 0.2 };

/**
 * An engine file of about so many lines, and its controller file.
 * @param {number} lines
 * @returns {{ engine: string, controller: string, controllerName: string }}
 */
export function installation(lines) {
  const sections = sectionsOf(engine);
  const small = Object.entries(sections).filter(([key]) => !LEFT_OUT.includes(key));
  const kept = lines < 600 ? Object.fromEntries(small) : { ...sections };
  const added = Math.max(8, lines - linesIn(Object.values(kept).join('')));
  const counts = countsFor(added);
  kept.sensors = sections.sensors + repeat(counts.sensors, sensor);
  kept.bus = (kept.bus ?? 'bus:\n  bitrate: 1000 kbit/s\n  messages:\n') + repeat(counts.messages, message);
  kept.map_sets =
    'map_sets:\n  sets:\n    tow: {}\n    transit: {}\n' + repeat(counts.sets, (i) => mapSet(i, counts.sets));
  kept.operating_points =
    (kept.operating_points ?? 'operating_points:\n') + repeat(counts.points, (i) => point(i, counts.sets));
  return {
    engine: Object.values(kept).join(''),
    controller: withPins(controller, counts.sensors),
    controllerName: 'four-channel.controller.yaml',
  };
}

/** Each key of the root with its text, comments above it included. */
function sectionsOf(text) {
  const sections = {};
  for (const piece of text.split(/^(?=(?:#[^\n]*\n|\n)*[a-z_]+:)/m)) {
    const key = /^([a-z_]+):/m.exec(piece)?.[1] ?? '';
    sections[key] = (sections[key] ?? '') + piece;
  }
  return sections;
}

function countsFor(added) {
  const size = {
    sets: linesIn(mapSet(0, 1)),
    messages: linesIn(message(0)),
    points: linesIn(point(0, 0)),
    sensors: linesIn(sensor(0)),
  };
  return Object.fromEntries(
    Object.entries(SHARES).map(([what, share]) => [what, Math.floor((added * share) / size[what])]),
  );
}

function repeat(count, make) {
  return Array.from({ length: count }, (_, i) => make(i)).join('');
}

const linesIn = (text) => text.split('\n').length - 1;

/** One map set with a boost target and a mixture of its own: the sample's, a little lower and leaner with each. */
function mapSet(i, count) {
  const share = i / Math.max(1, count);
  const rows = (low, high, height, width, digits) =>
    repeat(height, (row) => {
      const cells = Array.from({ length: width }, (_, column) => {
        const value = low + ((high - low) * row) / (height - 1) - (0.01 * column * (high - low)) / width;
        return value.toFixed(digits);
      });
      return `              - [${cells.join(', ')}]\n`;
    });
  return `    set_${i}:
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
      every: ${1 + (i % 9)} s
      signals:
        engine_speed: { start_bit: 0, bits: 16, byte_order: little, scale: 0.25 rpm, range: 0..7000 rpm }
        throttle_position: { start_bit: 16, bits: 8, scale: 0.5 %, range: 0..100 % }
`;
}

function point(i, sets) {
  return `  point_${i}:
    speed: ${3000 + ((i * 37) % 2400)} rpm
    throttle: ${60 + ((i * 7) % 40)} %
    pressure_altitude: ${(i * 130) % 8000} ft
    map_set: ${sets > 0 ? `set_${i % sets}` : 'tow'}
`;
}

function sensor(i) {
  return `  extra_${i}:
    measures: coolant_pressure
    kind: ratiometric
    pin: D${i + 1}
    supply: 5 V
    scaling: { 0.5 V: 0 bar gauge, 4.5 V: ${3 + (i % 3)} bar gauge }
    fault_outside: 0.2..4.8 V
`;
}

function withPins(text, count) {
  const pins = repeat(count, (i) => `  D${i + 1}: { role: analog-input, range: 0..5 V, resolution: 12 bit }\n`);
  return text
    .replace('C: { positions: 20 } }', `C: { positions: 20 }, D: { positions: ${Math.max(1, count)} } }`)
    .replace(/^limits:/m, `${pins}\n$&`);
}
