import { meterCatalogue } from '../../bench/meter-catalogue.ts';
import { InputError } from '../../board/diagnostic.ts';
import { COMMON_HANDHELD, type Meter } from '../../circuit/meter.ts';
import { type Calibration, calibrate } from '../../circuit/meter-calibration.ts';
import { figuresOf, meterFrom, printMeter } from '../../circuit/meter-figures.ts';
import {
  type CalibrationView,
  calibrationLines,
  meterLines,
  meterTableLines,
  viewCalibration,
} from '../../report/meter.ts';
import { wrap } from '../../report/wrap.ts';
import type { Arguments, CommandResult, Context, Run } from '../context.ts';
import { styleFor } from '../context.ts';
import { EXIT } from '../exit.ts';
import { readText, writeWhole } from '../files.ts';
import { openMeter } from '../meters.ts';
import { say } from '../print.ts';

/** Lists the meters, shows one, or works out the person's own from touches of known resistors. */
export const run: Run = async (context, { words, options }) => {
  const [name] = words;
  if (options.calibrate !== undefined) {
    if (name !== undefined)
      refuse(
        `"${name}" and --calibrate do not go together`,
        `start from its figures with --like "${name}"`,
      );
    return await runCalibration(context, options);
  }
  const stray = ['like', 'name', 'out', 'overwrite'].find((key) => options[key] !== undefined);
  if (stray !== undefined) refuse(`--${stray} is for --calibrate only`);
  return name === undefined ? listAll() : showOne(await openMeter(context, name));
};

function listAll(): CommandResult {
  const meters = [...meterCatalogue().values()];
  return {
    exit: EXIT.ok,
    document: { meters: meters.map(figuresOf) },
    text: (style) => meterTableLines(meters, style),
  };
}

function showOne(meter: Meter): CommandResult {
  return {
    exit: EXIT.ok,
    document: { meter: figuresOf(meter) },
    text: (style) => meterLines(meter, style),
  };
}

async function runCalibration(
  context: Context,
  options: Arguments['options'],
): Promise<CommandResult> {
  const like =
    typeof options.like === 'string' ? await openMeter(context, options.like) : COMMON_HANDHELD;
  const name = typeof options.name === 'string' ? options.name : undefined;
  const found = await calibrationFrom(context, options.calibrate, like, name);
  checkName(found.meter);
  const view = viewCalibration(found);
  const yaml = printMeter(found.meter, remarksOf(view));
  const out = typeof options.out === 'string' ? options.out : undefined;
  return out === undefined
    ? await printed(context, view, yaml)
    : written(view, yaml, out, options.overwrite === true);
}

/** From a file, from standard input, or asked for where a person sits at a terminal. */
async function calibrationFrom(
  context: Context,
  source: Arguments['options'][string],
  like: Meter,
  name: string | undefined,
): Promise<Calibration> {
  const path = typeof source === 'string' ? source : '-';
  if (path === '-' && context.stdin.isTTY && context.stderr.isTTY) {
    const { askTouches } = await import('../meter-prompt.ts');
    return calibrate(await askTouches(context, like), 'touches', like, name);
  }
  return calibrate(await readText(path, context), path, like, name);
}

function checkName(meter: Meter): void {
  if (meterFrom(figuresOf(meter)) !== undefined) return;
  refuse(
    `"${meter.name}" cannot be the name of a meter`,
    'a name stands on one line, without blanks at its ends',
  );
}

/** The file on stdout, what was found on stderr: so it can be sent on into a file. */
async function printed(
  context: Context,
  view: CalibrationView,
  yaml: string,
): Promise<CommandResult> {
  if (!context.json) say(context, calibrationLines(view, await styleFor(context, context.stderr)));
  return {
    exit: EXIT.ok,
    document: { calibration: view, yaml },
    text: () => [yaml.replace(/\n$/, '')],
  };
}

function written(
  view: CalibrationView,
  yaml: string,
  out: string,
  overwrite: boolean,
): CommandResult {
  writeWhole(out, yaml, overwrite);
  return {
    exit: EXIT.ok,
    document: { calibration: view, out },
    text: (style) => [
      ...calibrationLines(view, style),
      ...wrap(`Wrote ${out}. Use it: trace-short start BOARD --meter ${out}`, style.width),
    ],
  };
}

function remarksOf({ facts }: CalibrationView): string[] {
  return ['Worked out from touches of known resistors.', ...facts].flatMap((fact) =>
    wrap(fact, 96),
  );
}

function refuse(message: string, hint?: string): never {
  const plain = { code: 'USAGE', severity: 'error', message } as const;
  throw new InputError([hint === undefined ? plain : { ...plain, hint }]);
}
