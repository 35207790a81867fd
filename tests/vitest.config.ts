import { fileURLToPath } from 'node:url';
import type { ViteUserConfig } from 'vitest/config';

/** A property test that fails in CI can be run again: the seed is printed and can be set. */
const seed = process.env.TRACE_SHORT_SEED ?? String(Date.now() % 2 ** 31);
process.env.TRACE_SHORT_SEED = seed;

const config: ViteUserConfig = {
  root: fileURLToPath(new URL('..', import.meta.url)),
  test: {
    include: ['tests/**/*.test.ts'],
    exclude: ['tests/benchmarks/**', '**/node_modules/**'],
    globalSetup: ['tests/house/build-once.ts'],
    setupFiles: ['tests/house/seed.ts'],
    testTimeout: 20_000,
    hookTimeout: 60_000,
    // Half of the time a test waits for a terminal or a process; the default leaves a core idle.
    maxWorkers: 2,
  },
};

export default config;
