import { setFlagsFromString } from 'node:v8';

/** How much code runs before V8 thinks of optimising it: what Node 20 has, and sixteen times that. */
const USUAL_BUDGET = 67_584;
const PATIENT_BUDGET = 16 * USUAL_BUDGET;

let isPatient = false;

/**
 * Has code optimised only once it has run for long. A call that is over in a fifth of a second gains nothing
 * from it, and it takes the second processor, and memory, from the rest. Later versions of Node have another
 * compiler for that, and other figures.
 */
export function optimiseLater(): void {
  if (!process.version.startsWith('v20.')) return;
  setFlagsFromString(`--interrupt-budget=${PATIENT_BUDGET}`);
  isPatient = true;
}

/** Has code optimised as usual again: the work is long. */
export function optimiseAsUsual(): void {
  if (!isPatient) return;
  setFlagsFromString(`--interrupt-budget=${USUAL_BUDGET}`);
  isPatient = false;
}
