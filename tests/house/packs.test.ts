import { spawnSync } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';

const folder = fileURLToPath(new URL('../../dist/command/', import.meta.url));
const packs = readdirSync(folder).filter((name) => /^pack-[\d-]+\.js$/.test(name));

/** Opens every pack in a Node of its own and says whether V8 took what was compiled of it. */
const OPEN = `
  const { readFileSync } = require('node:fs');
  const { compiledPath, scriptOf } = require(process.argv[1] + 'packs.js');
  const refused = process.argv.slice(2).filter((name) => {
    const path = process.argv[1] + name;
    return scriptOf(path, readFileSync(compiledPath(path))).cachedDataRejected;
  });
  process.stdout.write(JSON.stringify(refused));
`;

function refusedUnder(...flags: string[]): unknown {
  const run = spawnSync(process.execPath, [...flags, '-e', OPEN, folder, ...packs], {
    encoding: 'utf8',
    env: { ...process.env, NODE_OPTIONS: '' },
  });
  return JSON.parse(run.stdout);
}

describe('the packs of the command', () => {
  it('are taken as the build compiled them', () => {
    expect(packs.length).toBeGreaterThan(2);
    expect(refusedUnder()).toEqual([]);
  });

  it('are compiled anew under flags that change what V8 makes of them', () => {
    expect(refusedUnder('--no-lazy-feedback-allocation')).toEqual(packs);
  });
});
