import { spawnSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';

/** Builds before the tests that run the real command; does nothing when nothing changed. */
export default function setup(): void {
  console.log(`property seed ${process.env.TRACE_SHORT_SEED} (set TRACE_SHORT_SEED to repeat)`);
  const script = fileURLToPath(new URL('./build.mjs', import.meta.url));
  const args = [script, '--if-changed', '--lenient'];
  const built = spawnSync(process.execPath, args, { encoding: 'utf8' });
  if (built.status !== 0) throw new Error(`the build failed:\n${built.stdout}${built.stderr}`);
}
