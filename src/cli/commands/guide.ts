import { InputError } from '../../board/diagnostic.ts';
import type { Meter } from '../../circuit/meter.ts';
import type { Arguments, Run } from '../context.ts';
import { runGuided } from '../guided/run.ts';
import { openMeter } from '../meters.ts';

/** The guided run, of a job that is named or chosen; a meter may answer by itself. */
export const run: Run = async (context, { words, options }) => {
  const [job] = words;
  if (context.json) {
    refuse('the guided run is for a person', 'trace-short next JOB --json gives the next step');
  }
  const link = textOf(options, 'meter');
  const figures = await figuresOf(textOf(options, 'figures'));
  if (figures !== undefined && job !== undefined) {
    refuse(
      '--figures is for a job that this run opens',
      'a job keeps the meter it was opened with: trace-short start BOARD --meter METER',
    );
  }
  const call = {
    ...(job === undefined ? {} : { job }),
    ...(link === undefined ? {} : { link }),
    ...(figures === undefined ? {} : { figures }),
  };
  return { exit: await runGuided(context, call), document: {}, text: () => [] };

  async function figuresOf(word: string | undefined): Promise<Meter | undefined> {
    return word === undefined ? undefined : await openMeter(context, word);
  }
};

function textOf(options: Arguments['options'], name: string): string | undefined {
  const value = options[name];
  return typeof value === 'string' ? value : undefined;
}

function refuse(message: string, hint: string): never {
  throw new InputError([{ code: 'USAGE', severity: 'error', message, hint }]);
}
