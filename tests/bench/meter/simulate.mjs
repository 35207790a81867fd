// An instrument on loopback to try the guided run against, by hand:
//   node tests/bench/meter/simulate.mjs [PORT]
// Lines typed at it put its probes somewhere: `0.4` Ω, `0.52 V`, `open`, `tap` (the tips, twice), or let it
// misbehave: `late`, `never`, `twice`, `drop`, `garbage`, `error`, `down 10` (seconds off the network).

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build } from 'esbuild';

const folder = mkdtempSync(join(tmpdir(), 'instrument-'));
const outfile = join(folder, 'instrument.mjs');
const entry = fileURLToPath(new URL('./instrument.ts', import.meta.url));
await build({ entryPoints: [entry], outfile, bundle: true, platform: 'node', format: 'esm' });
const { Instrument, pause } = await import(pathToFileURL(outfile).href);
rmSync(folder, { recursive: true });

const instrument = new Instrument({ answerMs: 60 });
instrument.lateMs = 7000;
const port = await instrument.start(Number(process.argv[2] ?? 5025));
console.log(
  `Listening on tcp://127.0.0.1:${port}. Type 0.4, 0.52 V, open, tap, late, drop, down 10 …`,
);

const MISHAPS = {
  late: 'late',
  never: 'never',
  twice: 'twice later',
  drop: 'cut in mid-reply',
  garbage: 'garbage instead',
  error: 'error entry',
};

function once(mishap) {
  instrument.mishap = () => {
    instrument.mishap = () => undefined;
    return mishap;
  };
}

async function tap() {
  for (let turn = 0; turn < 2; turn += 1) {
    instrument.probe({ ohms: 0.2, volts: 0.001 });
    await pause(250);
    instrument.probe(undefined);
    await pause(250);
  }
}

async function obey(line) {
  const [word = '', more = ''] = line.trim().split(/\s+/);
  if (word === 'open') instrument.probe(undefined);
  else if (word === 'tap') await tap();
  else if (word === 'down') await instrument.outage(1000 * Number(more || 5));
  else if (word in MISHAPS) once(MISHAPS[word]);
  else if (Number.isFinite(Number(word)) && word !== '') {
    const volts = /^v/i.test(more) ? Number(word) : 0.6;
    instrument.probe({ ohms: Number(word), volts });
  } else console.log(`"${line}" is nothing it knows.`);
}

process.stdin.setEncoding('utf8');
let held = '';
for await (const piece of process.stdin) {
  const lines = (held + piece).split('\n');
  held = lines.pop() ?? '';
  for (const line of lines) await obey(line);
}
await instrument.stop();
