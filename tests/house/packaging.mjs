// Checks the package as a stranger would get it: the packed file installs, runs and can be
// imported.
import { spawnSync } from 'node:child_process';
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const root = fileURLToPath(new URL('../..', import.meta.url));
const scratch = mkdtempSync(join(tmpdir(), 'packed-'));

try {
  run('npm', ['pack', '--silent', '--pack-destination', scratch], root);
  const packed = readdirSync(scratch).find((name) => name.endsWith('.tgz'));
  writeFileSync(join(scratch, 'package.json'), '{"private": true, "type": "module"}\n');
  run('npm', ['install', '--silent', '--prefer-offline', '--no-audit', `./${packed}`], scratch);
  run('npx', ['--no-install', 'trace-short', '--help'], scratch);
  writeFileSync(join(scratch, 'use.mjs'), useTheLibrary());
  run(process.execPath, ['use.mjs'], scratch);
  console.log('packaging: the packed file installs, runs and can be imported');
} finally {
  rmSync(scratch, { recursive: true, force: true });
}

function run(command, args, cwd) {
  const done = spawnSync(command, args, { cwd, encoding: 'utf8' });
  if (done.status === 0) return;
  console.error(`packaging: ${command} ${args.join(' ')} failed`);
  console.error(`${done.stdout ?? ''}${done.stderr ?? ''}${done.error ?? ''}`);
  rmSync(scratch, { recursive: true, force: true });
  process.exit(1);
}

function useTheLibrary() {
  return `
    import { readFileSync } from 'node:fs';
    import { InputError } from 'trace-short';
    if (typeof InputError !== 'function') throw new Error('the library exports no InputError');
    for (const what of ['board', 'meter', 'shop']) {
      const schema = new URL(import.meta.resolve(\`trace-short/\${what}.schema.json\`));
      if (!JSON.parse(readFileSync(schema, 'utf8')).$schema) throw new Error('no schema');
    }
  `;
}
