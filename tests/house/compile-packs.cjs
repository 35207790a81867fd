// node compile-packs.cjs FOLDER: leaves each pack of a bundled command compiled beside it, with what usual calls run.
const { copyFileSync, mkdtempSync, readdirSync, rmSync, writeFileSync } = require('node:fs');
const { tmpdir } = require('node:os');
const { join, resolve } = require('node:path');
const { setFlagsFromString } = require('node:v8');

const BOARD = join(__dirname, '..', '..', 'boards', 'hoist-drive.yaml');
const folder = resolve(process.argv[2]);
const { compiledPath, packed, scriptOf, scripts } = require(join(folder, 'packs.js'));

for (const name of readdirSync(folder).filter((each) => /^pack-[\d-]+\.js$/.test(each))) {
  const path = join(folder, name);
  writeFileSync(compiledPath(path), scriptOf(path).createCachedData());
}
compile();

/** What has not run for a while is thrown away by V8, and would not be kept. */
async function compile() {
  setFlagsFromString('--no-flush-bytecode');
  const scratch = mkdtempSync(join(tmpdir(), 'packs-'));
  const job = join(scratch, 'job.yaml');
  copyFileSync(BOARD, join(scratch, 'board.yaml'));
  const { main } = packed('./main.js');
  const calls = [
    ['--help'],
    ['start', join(scratch, 'board.yaml'), '-o', job],
    ['next', job, '--json'],
    ['next', job],
    ['completion', 'answer', 'bash', `trace-short log ${job} `, ''],
    ['log', job, 'P48 GND beep'],
    ['next', job, '--json'],
    ['where', job, 'P48'],
  ];
  try {
    for (const words of calls) {
      const code = await main(words);
      if (code !== 0 && code !== 1) throw new Error(`${words.join(' ')} ended with ${code}`);
    }
  } finally {
    rmSync(scratch, { recursive: true });
  }
  // What is compiled holds for the flags that V8 has as it is written.
  setFlagsFromString('--flush-bytecode');
  setFlagsFromString('--interrupt-budget=67584');
  for (const [path, script] of scripts) {
    writeFileSync(compiledPath(path), script.createCachedData());
  }
}
