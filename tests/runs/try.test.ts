import { readFileSync, writeFileSync, mkdirSync } from 'node:fs';
import { test } from 'vitest';
import { enginewright } from '../support/command-line.ts';
import { engineOf, syntheticRows, csvOf } from './synthetic.ts';
test('try', async () => {
  const dir = '/tmp/h/f/try'; mkdirSync(dir, { recursive: true });
  const text = readFileSync('samples/dotterel/dotterel-16t.engine.yaml', 'utf8');
  const engine = engineOf(text, 'tow');
  const states = [4000, 4400, 4800, 5000, 5200, 5400].flatMap((speed) => [100e3, 115e3, 130e3, 145e3].map((pressure) => ({ speed, throttle: 1, pressure, time: 5 })));
  const rows = syntheticRows(engine, { states, noise: 0.01, altitude: 144.2, deviation: 9.936, filling: (r, c) => 1 + 0.03 + 0.01 * Math.sin(r + c), delay: 0.2 });
  writeFileSync(`${dir}/a.csv`, csvOf(rows));
  writeFileSync(`${dir}/b.csv`, csvOf(syntheticRows(engine, { states, noise: 0, delay: 0.2, altitude: 144.2, deviation: 9.936 })));
  for (const n of ['a', 'b']) writeFileSync(`${dir}/${n}.run.yaml`, `runfile: 1\nengine: /work/wt-f/samples/dotterel/dotterel-16t.engine.yaml\ndata: ./${n}.csv\nkind: brake\nroom: { pressure: 99.6 kPa abs, temperature: 24 °C, humidity: 45 % }\nmap_set: tow\nexhaust_delay: 0.2 s\naccuracy: { torque: ± 1 %, lambda: ± 0.01 }\n`);
  for (const n of ['a', 'b']) {
  const { status, out, err } = await enginewright('runs', `${dir}/${n}.run.yaml`, '--format', 'json');
  console.log(status, err);
  if (status !== 0) return;
  const r = JSON.parse(out).runs[0];
  console.log(r.rows, r.refused_count, r.steady.length, r.steady_rows, r.notes);
  console.log(r.agreement.map((a: any) => `${a.quantity} ${a.at} ${a.mean_residual.toExponential(3)} [${a.ci95}] n ${a.n} ${a.departs} ${a.stretches_beyond}/${a.stretches}`).join('\n'));
  console.log(r.filling.map((c: any) => `${c.row} ${c.column} now ${c.now.toFixed(4)} m ${c.measured.toFixed(4)} true ${(c.now * (1 + 0.03 + 0.01 * Math.sin(c.row + c.column))).toFixed(4)} u ${c.standard_uncertainty.toFixed(5)} rows ${c.rows} eff ${c.effective_rows.toFixed(0)} ${c.believed} lev ${c.leverage.toFixed(3)}`).join('\n'));
  console.log(r.power.slice(0,2), r.limits.map((l: any) => [l.at, l.closest, l.level, l.row, l.logged].join(' ')), r.outside_envelope.slice(0,4));
  }
});
