// One board compared: every case in every mode, by the program and by the simulator.

import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Circuit } from '../../dist/circuit/circuit.js';
import { shownOn } from '../../dist/circuit/shown.js';
import { compare, toleranceOf } from './agree.mjs';
import { casesOf } from './cases.mjs';
import { deckOf } from './deck.mjs';
import { currentsOf } from './meter.mjs';
import { runDecks, TRIES, voltsOfDecks } from './simulator.mjs';

/** Decks in one process of the simulator, decks timed, and how often each point is solved for timing. */
const BATCH = 100;
const TIMED_DECKS = 8;
const TIMED_POINTS = 40;
const TIMED_AMPS = 1e-3;
/** Cases of the program timed a second time. */
const TIMED_AGAIN = 40;

/**
 * @returns `{ results, times }`: a result per case and mode
 */
export function runBoard({ name, board }, meter, pairs, seed) {
  const cases = casesOf(new Circuit(board), pairs, seed).map((each, k) => ({
    ...each,
    title: `${name}, pair ${k}`,
    deck: deckOf(each.sight, `${name}, pair ${k}`),
  }));
  const programs = Object.keys(meter.drives).map((mode) => shownByProgram(cases, meter, mode));
  const folder = mkdtempSync(join(tmpdir(), 'oracle-'));
  try {
    const verdicts = compareAll(cases, programs, meter, folder);
    recompareDoubtful(cases, programs, verdicts, meter, folder);
    return { results: verdicts.flat(), times: simulatorTimes(cases, folder) };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/**
 * Compares again where the two differ, with junctions held to the law below −3·n·V_T too: only there
 * does the simulator's own diode come into question. Puts the new verdicts in place of the old.
 */
function recompareDoubtful(cases, programs, verdicts, meter, folder) {
  const doubtful = cases.flatMap((each, k) => {
    const modes = verdicts[k].flatMap(({ agrees, mode }) => (agrees ? [] : [mode]));
    return modes.length === 0 ? [] : [{ k, modes, each }];
  });
  for (const { k, modes, each } of doubtful) {
    const exact = { ...each, deck: deckOf(each.sight, each.title, true) };
    const some = programs
      .filter(({ mode }) => modes.includes(mode))
      .map((program) => ({ ...program, shown: [program.shown[k]] }));
    for (const verdict of compareAll([exact], some, meter, folder)[0]) {
      verdicts[k][verdicts[k].findIndex(({ mode }) => mode === verdict.mode)] = verdict;
    }
  }
}

/** By case: a verdict per mode. */
function compareAll(cases, programs, meter, folder) {
  const drives = Object.fromEntries(programs.map(({ mode }) => [mode, meter.drives[mode]]));
  const volts = simulatedVolts(cases, currentsOf(drives), folder);
  return cases.map((each, k) => {
    // A point the simulator could not solve agrees with nothing: every comparison with NaN fails.
    const voltsAt = (amps) =>
      each.deck === undefined ? Number.POSITIVE_INFINITY : (volts[k].get(amps) ?? Number.NaN);
    return programs.map(({ mode, shown, micros }) => {
      const tolerance = toleranceOf(mode, each.deck?.lit ?? false);
      const verdict = compare(meter, mode, voltsAt, shown[k], tolerance);
      return { ...each, ...verdict, mode, shown: shown[k], micros };
    });
  });
}

/** By case: volts by current; undefined where nothing leads from red to black. */
function simulatedVolts(cases, currents, folder) {
  const volts = cases.map(() => undefined);
  const joined = cases.flatMap(({ deck }, k) => (deck === undefined ? [] : [k]));
  for (let from = 0; from < joined.length; from += BATCH) {
    const batch = joined.slice(from, from + BATCH);
    const jobs = batch.map((k) => ({ deck: cases[k].deck, currents }));
    const found = voltsOfDecks(jobs, folder);
    batch.forEach((k, n) => {
      volts[k] = found[n];
    });
  }
  return volts;
}

/** Milliseconds of one operating point inside a running process, and of a process with one deck and one point. */
function simulatorTimes(cases, folder) {
  const jobs = cases.flatMap(({ deck }) =>
    deck === undefined ? [] : [{ deck, currents: [TIMED_AMPS] }],
  );
  const step = Math.max(1, Math.floor(jobs.length / TIMED_DECKS));
  const some = jobs.filter((_, k) => k % step === 0).slice(0, TIMED_DECKS);
  // A point that is tried in vain takes all iterations allowed; that would flatter the program.
  const solved = runDecks(some, folder, TRIES[0]).volts;
  const timed = some.filter((_, k) => solved[k].has(TIMED_AMPS));
  const seconds = (these, repeats) => runDecks(these, folder, TRIES[0], repeats).seconds;
  const once = seconds(timed, 1);
  const often = seconds(timed, 1 + TIMED_POINTS);
  const alone = timed.map((job) => seconds([job], 1));
  return {
    pointMs: ((often - once) * 1e3) / (timed.length * TIMED_POINTS),
    processMs: (alone.reduce((a, b) => a + b, 0) * 1e3) / alone.length,
  };
}

/**
 * What the program says of every case in one mode, and microseconds for each: at first, and asked
 * again, when it may hold the answer.
 */
function shownByProgram(cases, meter, mode) {
  const start = performance.now();
  const shown = cases.map(({ sight }) => shownOn(meter, mode, sight));
  const middle = performance.now();
  const some = cases.slice(0, TIMED_AGAIN);
  for (const { sight } of some) shownOn(meter, mode, sight);
  const first = ((middle - start) * 1e3) / cases.length;
  const again = ((performance.now() - middle) * 1e3) / some.length;
  const micros = { first, again };
  return { mode, shown, micros };
}
