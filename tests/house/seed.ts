import fc from 'fast-check';

/** Every property test of one run draws from one seed, handed on in the environment. */
const seed = Number(process.env.TRACE_SHORT_SEED ?? 1);
fc.configureGlobal({ seed });
