// Runs decks through ngspice: many decks and currents in one process, whose start alone would cost
// more than most operating points.

import { spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';

/** Keeps the simulator from running on through time when it finds no operating point. */
const NO_TRANSIENT = 'optran 0 0 0 0 0 0';

export function simulatorVersion() {
  const { stdout, status } = spawnSync('ngspice', ['--version'], { encoding: 'utf8' });
  return status === 0 ? /ngspice-\S+/.exec(stdout)?.[0] : undefined;
}

/**
 * Tolerances tried in turn for a point. `leak` is what stands across every junction, as S for each A
 * of the meter's current, but never below `leastLeak`: where red is held off by reversed junctions
 * alone, milliohms beside them leave too few digits for less. Newton's method ends well within the
 * tolerances: on the boards at hand the first agrees with a hundredth of its own to 2e-5. Stepping
 * costs a thousand points, so it comes last.
 */
export const TRIES = [
  { relative: 1e-4, volts: 1e-6, leak: 1e-9, leastLeak: 1e-14 },
  { relative: 1e-4, volts: 1e-5, leak: 1e-9, leastLeak: 1e-14 },
  { relative: 1e-3, volts: 1e-5, leak: 1e-8, leastLeak: 1e-13 },
  { relative: 1e-3, volts: 1e-5, leak: 1e-7, leastLeak: 1e-12 },
  { relative: 1e-3, volts: 1e-5, leak: 1e-8, leastLeak: 1e-13, steps: 1 },
];

/**
 * Volts of every deck's red node at every current asked for.
 * @param jobs `{ deck, currents }`, `deck` from `deckOf`, `currents` in A
 * @param folder where the decks are written
 * @returns by job: a map from current to volts, without those the simulator found no operating point for
 */
export function voltsOfDecks(jobs, folder) {
  const volts = jobs.map(() => new Map());
  for (const tolerances of TRIES) {
    const left = jobs.flatMap(({ deck, currents }, k) => {
      const open = currents.filter((amps) => !volts[k].has(amps));
      return open.length === 0 ? [] : [{ k, deck, currents: open }];
    });
    const found = runDecks(left, folder, tolerances).volts;
    left.forEach(({ k }, n) => {
      for (const [amps, value] of found[n]) volts[k].set(amps, value);
    });
  }
  return volts;
}

/**
 * One process.
 * @param repeats how often each operating point is solved; for timing
 * @returns `{ volts, seconds }`, `volts` as of `voltsOfDecks`
 */
export function runDecks(jobs, folder, tolerances, repeats = 1) {
  if (jobs.length === 0) return { volts: [], seconds: 0 };
  const script = ['* many decks', '.control', 'set numdgt=15', NO_TRANSIENT];
  jobs.forEach(({ deck, currents }, k) => {
    const file = join(folder, `${k}.cir`);
    writeFileSync(file, [...deck.lines, '.end', ''].join('\n'));
    script.push(`source ${file}`);
    const points = currents.map((amps, i) =>
      pointLines(amps, deck.at, `@ ${k} ${i}`, tolerances, repeats),
    );
    script.push(...points.flat(), 'destroy all', 'remcirc');
  });
  script.push('.endc', '.end', '');
  const file = join(folder, 'run.cir');
  writeFileSync(file, script.join('\n'));
  const start = performance.now();
  const run = spawnSync('ngspice', ['-n', '-b', file], { encoding: 'utf8', maxBuffer: 2 ** 30 });
  const seconds = (performance.now() - start) / 1e3;
  if (run.error) throw run.error;
  if (!run.stdout.includes('@ ')) {
    throw new Error(`ngspice made nothing of ${file}:\n${run.stderr.slice(0, 2000)}`);
  }
  return { volts: readVolts(run.stdout, jobs), seconds };
}

/** Script lines that solve a deck at a current and print the volts after a label. */
export function pointLines(amps, at, label, tolerances, repeats = 1) {
  const { relative, volts, leak, leastLeak, steps = 0 } = tolerances;
  const lines = [
    `option reltol=${relative} vntol=${volts} abstol=${amps * 1e-5}`,
    `option gmin=${Math.max(leak * amps, leastLeak)}`,
    `option itl1=200 gminsteps=${steps} srcsteps=${steps}`,
    `alter imeter = ${amps}`,
  ];
  // An operating point that fails must not leave the one before it to be printed.
  for (let n = 0; n < repeats; n++) lines.push('destroy all', 'op');
  return [...lines, `echo ${label}`, at === '0' ? 'print 0' : `print v(${at})`];
}

function readVolts(output, jobs) {
  const volts = jobs.map(() => new Map());
  const pattern = /^@ (\d+) (\d+)\n(?:v\(\w+\)|0) = (\S+)$/gm;
  for (const [, job, current, value] of output.matchAll(pattern)) {
    volts[Number(job)].set(jobs[Number(job)].currents[Number(current)], Number(value));
  }
  return volts;
}
